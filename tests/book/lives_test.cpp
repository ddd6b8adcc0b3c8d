// Random lives of a shop, compared at every step with a second telling of the rules: slow, without
// SQL, from the entries alone.
#include <map>
#include <random>
#include <set>

#include "book/kinds.h"
#include "domain/code.h"
#include "shop.h"

using namespace shop;

namespace {

class Telling {
 public:
  explicit Telling(const Book& book) {
    book.each_entry([&](const book::Entry& e) { entries_.push_back(e); });
    for (const book::Entry& e : entries_) bodies_.push_back(Json::parse(e.body));
  }

  std::int64_t count() const { return static_cast<std::int64_t>(entries_.size()); }
  const std::string& kind(std::int64_t n) const { return entries_[n - 1].kind; }
  bool is_struck(std::int64_t n) const {
    for (std::int64_t s = n + 1; s <= count(); ++s)
      if (kind(s) == "strike" && target(s) == n && !is_struck(s)) return true;
    return false;
  }
  std::int64_t target(std::int64_t n) const { return bodies_[n - 1].integer("entry"); }
  Json body(std::int64_t n) const {
    for (std::int64_t c = count(); c > n; --c)
      if (kind(c) == "correction" && target(c) == n && !is_struck(c))
        return bodies_[c - 1].at("body");
    return bodies_[n - 1];
  }
  template <typename Use>
  void each(const std::string& wanted, Use use) const {
    for (std::int64_t n = 1; n <= count(); ++n)
      if (kind(n) == wanted && !is_struck(n)) use(n, body(n));
  }
  // What an entry has ever said.
  std::vector<Json> versions(std::int64_t n) const {
    std::vector<Json> out{bodies_[n - 1]};
    for (std::int64_t c = n + 1; c <= count(); ++c)
      if (kind(c) == "correction" && target(c) == n) out.push_back(bodies_[c - 1].at("body"));
    return out;
  }

  std::set<std::int64_t> open_rags() const {
    std::set<std::int64_t> out;
    each("coat", [&](std::int64_t n, const Json& b) {
      if (b.flag("rags")) out.insert(n);
    });
    each("rags-done", [&](std::int64_t, const Json& b) {
      for (const std::int64_t coat : b.integers("coats")) out.erase(coat);
    });
    return out;
  }

  // Batches that use a tin or a wood, in their plan or in a step, by the entries before `end`.
  std::set<std::string> using_it(const std::string& id, std::int64_t end) const {
    std::set<std::string> out;
    each("batch", [&](std::int64_t n, const Json& b) {
      for (const char* list : {"wood", "finish"})
        for (const std::string& part : b.texts(list))
          if (n < end && part == id) out.insert(b.text("batch"));
    });
    each("coat", [&](std::int64_t n, const Json& b) {
      for (const Json& part : b.at("drawn").items())
        if (n < end && part.text("tin") == id) out.insert(b.text("batch"));
    });
    return out;
  }

  // Does amendment `a` take its ground from a sign-off of `batch` made by entry `s`?
  bool reopens(std::int64_t a, std::int64_t s, const std::string& batch) const {
    std::int64_t n = target(a);
    if (kind(n) == "correction" || kind(n) == "strike") {
      if (s < n) return false;
      while (kind(n) == "correction" || kind(n) == "strike") n = target(n);
    }
    if (kind(n) == "tin" || kind(n) == "wood")
      return using_it(bodies_[n - 1].text(kind(n) == "tin" ? "tin" : "lot"), a).contains(batch);
    if (kind(n) != "coat" && kind(n) != "sand" && kind(n) != "batch") return false;
    for (const Json& said : versions(n))
      if (said.text("batch") == batch) return true;
    return false;
  }

  struct Piece {
    std::optional<std::int64_t> signed_off, given;
    bool operator==(const Piece&) const = default;
  };
  std::map<std::string, Piece> pieces() const {
    std::map<std::string, Piece> out;
    each("batch", [&](std::int64_t, const Json& b) {
      for (int i = 1; i <= b.integer("pieces"); ++i)
        out[PieceCode{*parse_batch_code(b.text("batch")), i}.text()] = {};
    });
    for (const char* what : {"sign-off", "give"})
      each(what, [&](std::int64_t n, const Json& b) {
        for (const std::int64_t i : b.integers("pieces")) {
          Piece& piece = out.at(PieceCode{*parse_batch_code(b.text("batch")), int(i)}.text());
          (std::string(what) == "give" ? piece.given : piece.signed_off) = n;
        }
      });
    for (auto& [code, piece] : out)
      for (std::int64_t a = 1; a <= count() && piece.signed_off; ++a)
        if ((kind(a) == "correction" || kind(a) == "strike") && !is_struck(a) &&
            a > *piece.signed_off && reopens(a, *piece.signed_off, code.substr(0, 6)))
          piece.signed_off.reset();
    return out;
  }

 private:
  std::vector<book::Entry> entries_;
  std::vector<Json> bodies_;
};

class Life {
 public:
  explicit Life(unsigned seed) : random_(seed), person_(shop_.keep("Robin Example")) {
    shop_.write("worker", Worker{2, person_.id, seal(person_), false}.body());
    shop_.write("wood", wood("W1").body());
    shop_.write("tin", tin("F1", "finish").body());
    begin_batch();
  }

  void act() {
    static const std::vector<void (Life::*)()> acts{
        &Life::stock,   &Life::begin_batch, &Life::coat_some, &Life::coat_some, &Life::coat_some,
        &Life::settle,  &Life::sign,        &Life::sign,      &Life::give,      &Life::correct,
        &Life::correct, &Life::correct,     &Life::correct,   &Life::strike,    &Life::strike,
        &Life::strike,  &Life::strike};
    (this->*acts[below(acts.size())])();
  }

  void compare() {
    Book& book = shop_.book();
    const Telling told(book);
    std::map<std::string, Telling::Piece> pieces;
    std::set<std::string> open;
    for (const std::string& code : ids_of_class(book, "batch"))
      for (const book::PieceState& piece : pieces_of(book, code)) {
        pieces[piece.code] = {piece.signed_off, piece.given};
        if (!piece.given) open.insert(code);
      }
    CHECK((pieces == told.pieces()));
    const auto batches = open_batches(book);
    CHECK(std::set<std::string>(batches.begin(), batches.end()) == open);
    std::set<std::int64_t> rags;
    for (const auto& [entry, batch] : all_open_rags(book)) rags.insert(entry);
    CHECK(rags == told.open_rags());
    for (std::int64_t n = 1; n <= told.count(); ++n) {
      const auto now = effective_entry(book, n).value();
      CHECK(now.struck_by.has_value() == told.is_struck(n));
      CHECK(now.body == told.body(n));
      if (!now.struck_by)
        for (const char* list : {"wood", "finish"})
          for (const std::string& part : now.body.texts(list))
            CHECK_FALSE(class_of(book, part).empty());
      if (now.entry.kind == "coat" && !now.struck_by) {
        CHECK(class_of(book, now.body.text("batch")) == "batch");
        CHECK(class_of(book, now.body.at("drawn").items()[0].text("tin")) == "finish");
      }
    }
    CHECK(problems_of(book) == std::vector<std::string>{});
  }

  int refused() const { return refused_; }
  int amended() const { return amended_; }

 private:
  std::size_t below(std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_);
  }
  template <typename T>
  const T& one_of(const std::vector<T>& values) {
    return values[below(values.size())];
  }

  void stock() {
    const std::string kind = below(2) ? "tin" : "wood", prefix = kind == "tin" ? "F" : "W";
    const std::string id = prefix + std::to_string(next_number(shop_.book(), prefix));
    CHECK(seen_.insert(id).second);  // never given out before
    shop_.write(kind, kind == "tin" ? tin(id, "finish").body() : wood(id).body());
  }

  Json any_batch(const std::string& code) {
    const auto woods = ids_of_class(shop_.book(), "wood"),
               tins = ids_of_class(shop_.book(), "finish");
    return batch(code, 1 + int(below(4)), {one_of(woods)}, {one_of(tins)}).body();
  }

  bool stocked() {
    return !ids_of_class(shop_.book(), "wood").empty() &&
           !ids_of_class(shop_.book(), "finish").empty();
  }

  void begin_batch() {
    if (!stocked()) return;
    const std::string code = BatchCode{26, int(next_number(shop_.book(), "26-"))}.text();
    CHECK(seen_.insert(code).second);
    shop_.write("batch", any_batch(code));
  }

  // A batch and some of its pieces; nothing where there is none.
  std::pair<std::string, std::vector<int>> some() {
    const auto codes = ids_of_class(shop_.book(), "batch");
    if (codes.empty() || !stocked()) return {};
    std::pair<std::string, std::vector<int>> out{one_of(codes), {}};
    for (const auto& piece : pieces_of(shop_.book(), out.first))
      if (below(2)) out.second.push_back(piece.number);
    return out;
  }

  Json any_coat(const std::string& code, const std::vector<int>& pieces) {
    return coat(code, one_of(ids_of_class(shop_.book(), "finish")), pieces, below(2) == 1).body();
  }

  void coat_some() {
    const auto [code, pieces] = some();
    if (!code.empty()) shop_.write("coat", any_coat(code, pieces));
  }
  void settle() {
    const auto open = all_open_rags(shop_.book());
    if (open.empty()) return;
    const auto& [coat, code] = one_of(open);
    shop_.write("rags-done", RagsDone{code, {coat}}.body());
  }
  void sign() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("sign-off", sign_off(code, pieces).body());
  }
  void give() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("give", gift(code, pieces, person_).body());
  }

  // Any but those of the workshop, its workers and its garage.
  std::int64_t any_entry() {
    return 5 + std::int64_t(below(std::size_t(shop_.book().entry_count()) - 4));
  }

  void correct() {
    const std::int64_t n = any_entry();
    const auto now = effective_entry(shop_.book(), n);
    if (!now || now->struck_by || !stocked()) return;
    const std::string& kind = now->entry.kind;
    Json body = now->body;
    const auto [code, pieces] = some();
    if (kind == "batch")
      body = any_batch(body.text("batch"));
    else if (kind == "coat" && !code.empty())
      body = any_coat(code, pieces);
    else if (kind == "give" && !pieces.empty())
      body = gift(code, pieces, person_).body();
    else if (kind != "tin" && kind != "wood")
      return;
    amend(n, &body);
  }
  void strike() {
    const std::int64_t n = any_entry();
    const auto now = effective_entry(shop_.book(), n);
    if (now && !now->struck_by) amend(n, nullptr);
  }
  // As a command does it: refused where an id would vanish.
  void amend(std::int64_t n, const Json* body) {
    if (!would_vanish(shop_.book(), n, body).empty()) {
      ++refused_;
      return;
    }
    ++amended_;
    if (body)
      shop_.correct(n, *body);
    else
      shop_.strike(n);
  }

  std::mt19937 random_;
  Shop shop_;
  book::Person person_;
  std::set<std::string> seen_;
  int refused_ = 0, amended_ = 0;
};

}  // namespace

TEST_CASE("lives: after every act the state is what the entries say and the book is whole") {
  int refused = 0, amended = 0;
  for (unsigned seed = 1; seed <= 6; ++seed) {
    INFO("seed " << seed);
    Life life(seed);
    for (int i = 0; i < 70; ++i) {
      life.act();
      life.compare();
    }
    refused += life.refused();
    amended += life.amended();
  }
  CHECK(amended > 100);  // the lives were as wild as they were meant to be
  CHECK(refused > 20);
}
