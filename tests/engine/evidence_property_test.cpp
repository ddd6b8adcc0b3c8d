// Seeded random pieces: the rule of evidence as properties that hold whatever is on them.
#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "engine/evidence.h"

using namespace trencher;
using engine::answer;
using engine::PieceContents;

namespace {

constexpr const char* none = "none recorded";
constexpr const char* unknown = "not known";

const std::vector<std::string>& ids() {
  static const std::vector<std::string> list{
      "milk",     "soy",     "tree-nut",      "tree-nut-walnut", "tree-nut-almond",
      "molluscs", "linseed", "animal-derived"};
  return list;
}

std::vector<Allergen> table() {
  std::vector<Allergen> out;
  for (const std::string& id : ids()) {
    Allergen a;
    a.id = a.name = id;
    a.group = id == "linseed" || id == "animal-derived" ? "substance" : "allergen";
    a.eu = a.uk = a.ca = a.anz = a.group == "allergen";
    a.us = a.eu && id != "molluscs";
    a.animal = id == "milk" || id == "molluscs";
    if (id.starts_with("tree-nut-")) a.parent = "tree-nut";
    out.push_back(a);
  }
  return out;
}

class Maker {
 public:
  explicit Maker(unsigned seed) : random_(seed) {}

  unsigned below(unsigned n) { return random_() % n; }
  std::string id() { return ids()[below(static_cast<unsigned>(ids().size()))]; }

  std::vector<std::string> some(unsigned odds) {
    std::vector<std::string> out;
    for (const std::string& candidate : ids())
      if (below(odds) == 0) out.push_back(candidate);
    return out;
  }

  Tin tin(int number) {
    Tin t;
    t.entry = 10 + number;
    t.id = (number == 0 ? "G" : "F") + std::to_string(number + 1);
    t.stock = number == 0 ? "glue" : "finish";
    t.name = "tin";
    t.contains = some(20);
    if (below(2)) t.contains.push_back("per-label");
    t.animal_origin = below(8) == 0 ? "yes" : below(2) ? "no" : "per-label";
    if (below(3) == 0) t.product = "P" + std::to_string(below(3));
    return t;
  }

  Statement statement(const std::vector<Tin>& tins) {
    const char* abouts[] = {"ingredients", "allergens", "food-contact", "safety"};
    const char* markets[] = {"", "us", "eu", "uk"};
    Statement s;
    s.entry = 100 + static_cast<int>(below(1000));
    const Tin& t = tins[below(static_cast<unsigned>(tins.size()))];
    s.subject = t.product.empty() || below(2) ? t.id : t.product;
    s.about = abouts[below(3) == 0 ? below(4) : 0];
    s.market = markets[below(4)];
    s.complete = below(3) != 0;
    s.contains = below(3) == 0 ? some(16) : std::vector<std::string>{};
    s.declares_none = below(2) ? some(3) : std::vector<std::string>{};
    if (below(6) == 0) s.ingredients = {below(2) ? "walnut oil" : "carnauba wax"};
    return s;
  }

  PieceContents piece() {
    PieceContents p;
    p.piece = "27-001";
    const int tins = 1 + static_cast<int>(below(3));
    for (int i = 0; i < tins; ++i) p.tins.push_back(tin(i));
    p.glue_logged = below(12) != 0;
    const int papers = static_cast<int>(below(7));
    for (int i = 0; i < papers; ++i) p.statements.push_back(statement(p.tins));
    p.cross_contact_declared = below(8) != 0;
    if (p.cross_contact_declared && below(3) == 0) p.cross_contact = some(10);
    return p;
  }

 private:
  std::mt19937 random_;
};

bool speaks_for(const Statement& s, const Tin& t) {
  return s.subject == t.id || (!t.product.empty() && s.subject == t.product);
}

constexpr int rounds = 5000;

}  // namespace

TEST_CASE("evidence: a component of which nothing is known never makes an answer firmer") {
  Maker make(1);
  int was_none = 0;
  for (int i = 0; i < rounds; ++i) {
    PieceContents p = make.piece();
    const std::string about = make.id();
    const std::string before = answer(p, about, table()).result;
    Tin mystery;
    mystery.id = "F9";
    mystery.stock = "finish";
    mystery.contains = {"per-label"};
    p.tins.push_back(mystery);
    const std::string after = answer(p, about, table()).result;
    was_none += before == none;
    REQUIRE(after == (before == none ? unknown : before));
  }
  CHECK(was_none > rounds / 50);  // the case is met
}

TEST_CASE("evidence: taking a paper away never turns not known into an answer") {
  Maker make(2);
  int firm = 0;
  for (int i = 0; i < rounds; ++i) {
    PieceContents p = make.piece();
    if (p.statements.empty()) continue;
    const std::string about = make.id();
    const std::string before = answer(p, about, table()).result;
    const auto taken =
        p.statements.begin() + make.below(static_cast<unsigned>(p.statements.size()));
    // A paper that names something is evidence that it is there: without it less may be in the tin.
    const bool names = !taken->contains.empty() || !taken->ingredients.empty();
    p.statements.erase(taken);
    const std::string after = answer(p, about, table()).result;
    firm += before != unknown;
    if (before != unknown) continue;
    if (names)
      REQUIRE(after != "contains");
    else
      REQUIRE(after == unknown);
  }
  CHECK(firm > rounds / 20);
}

TEST_CASE(
    "evidence: none recorded stands only where each tin has a paper and the shop has declared") {
  Maker make(3);
  int seen = 0;
  for (int i = 0; i < rounds; ++i) {
    const PieceContents p = make.piece();
    const std::string about = make.id();
    const engine::Answer a = answer(p, about, table());
    if (a.result != none) continue;
    ++seen;
    REQUIRE(p.glue_logged);
    REQUIRE(p.cross_contact_declared);
    REQUIRE(std::count(p.cross_contact.begin(), p.cross_contact.end(), about) == 0);
    REQUIRE(a.missing.empty());
    REQUIRE(std::count_if(a.notes.begin(), a.notes.end(), [](const engine::Sentence& note) {
              return note.text == "None recorded does not mean free from.";
            }) == 1);
    for (const Tin& t : p.tins) {
      REQUIRE(std::count(t.contains.begin(), t.contains.end(), about) == 0);
      REQUIRE(std::any_of(p.statements.begin(), p.statements.end(), [&](const Statement& s) {
        return speaks_for(s, t) && (s.complete || !s.declares_none.empty());
      }));
    }
  }
  CHECK(seen > rounds / 50);
}

TEST_CASE("evidence: contains beats whatever is declared absent") {
  Maker make(4);
  for (int i = 0; i < rounds; ++i) {
    PieceContents p = make.piece();
    const std::string about = make.id();
    for (const Tin& t : p.tins) {
      Statement denial;
      denial.subject = t.id;
      denial.about = "allergens";
      denial.declares_none = ids();
      p.statements.push_back(denial);
    }
    const std::string before = answer(p, about, table()).result;
    p.tins[make.below(static_cast<unsigned>(p.tins.size()))].contains.push_back(about);
    REQUIRE(answer(p, about, table()).result == "contains");
    // And contained is contained, with and without the denials.
    if (before == "contains") {
      p.statements.resize(p.statements.size() - p.tins.size());
      REQUIRE(answer(p, about, table()).result == "contains");
    }
  }
}

TEST_CASE("evidence: the order of tins and papers does not matter") {
  Maker make(5);
  std::mt19937 shuffle(5);
  for (int i = 0; i < rounds / 4; ++i) {
    PieceContents p = make.piece();
    const std::string about = make.id();
    const std::string before = answer(p, about, table()).result;
    std::shuffle(p.tins.begin(), p.tins.end(), shuffle);
    std::shuffle(p.statements.begin(), p.statements.end(), shuffle);
    REQUIRE(answer(p, about, table()).result == before);
  }
}

TEST_CASE("evidence: no answer promises anything") {
  Maker make(6);
  for (int i = 0; i < rounds / 4; ++i) {
    const PieceContents p = make.piece();
    for (const char* about :
         {"contents", "finish", "glue", "wood", "animal-material", "milk", "tree-nut"}) {
      const engine::Answer a = answer(p, about, table());
      std::vector<std::string> lines;
      for (const auto& missing : a.missing) lines.push_back(missing.text);
      for (const auto& note : a.notes)
        if (note.text != "None recorded does not mean free from.") lines.push_back(note.text);
      for (const auto& b : a.because) lines.push_back(b.text);
      for (const std::string& line : lines)
        for (const char* claim : {"food safe", "is safe", "safe for", "free from", "-free", "toxic",
                                  "approved", "certified", "compliant"}) {
          INFO(line);
          REQUIRE(line.find(claim) == std::string::npos);
        }
    }
  }
}
