// What a rescue could not save never counts as nothing: answers, dates, checks and rules.
#include "engine/losses.h"

#include "engine/market.h"
#include "evidence_fixture.h"
#include "findings_fixture.h"

using trencher::engine::Losses;

namespace {

Losses gap() {
  Losses out;
  out.gaps = {{12, 14, ""}};
  return out;
}
Losses without(std::vector<std::string> things) {
  Losses out = gap();
  out.things = std::move(things);
  return out;
}

}  // namespace

TEST_CASE("losses: the sentence says which entries and which things") {
  CHECK_FALSE(Losses{}.any());
  CHECK(gap().sentence() ==
        "Entries 12 to 14 of the book are lost: what they said of this is not known.");
  Losses one;
  one.gaps = {{7, 7, ""}};
  one.things = {"F1", "26-001"};
  CHECK(one.sentence() ==
        "Entry 7 of the book is lost: what it said of this is not known, and nothing is known of "
        "F1 and 26-001 but what other entries say.");
  Losses end;
  end.open_end = true;
  CHECK(end.any());
  CHECK(end.sentence() ==
        "Entries at the end of the book may be lost: what they said of this is not known.");
  end.gaps = gap().gaps;
  CHECK(end.sentence() ==
        "Entries 12 to 14 of the book, and perhaps its last, are lost: what they said of this is "
        "not known.");
}

TEST_CASE("losses: none recorded becomes not known and contains stays") {
  using namespace evidence_fixture;
  PieceContents p = listed();
  p.statements.push_back(paper(8, "F1", Says::names, {"soy"}));
  REQUIRE(result(p, "tree-nut-walnut") == none);
  REQUIRE(result(p, "soy") == yes);
  p.losses = gap();
  for (const char* about : {"tree-nut-walnut", "milk", "animal-material"}) {
    INFO(about);
    CHECK(result(p, about) == unknown);
    CHECK(says(answer(p, about, table()), "Entries 12 to 14 of the book are lost"));
  }
  CHECK(result(p, "soy") == yes);
  CHECK(says(answer(p, "soy", table()), "Entries 12 to 14 of the book are lost"));
  for (const trencher::Allergen& allergen : table()) CHECK(result(p, allergen.id) != none);
}

TEST_CASE("losses: every date is a guess and without the tin there is none") {
  using namespace findings_fixture;
  BatchWork work = good_facts().work;
  const auto before = dates(work, 0, shop(), hour(500));
  REQUIRE(before.size() > 2);
  work.losses = gap();
  const auto guessed = dates(work, 0, shop(), hour(500));
  REQUIRE(guessed.size() == before.size());
  for (std::size_t i = 0; i < guessed.size(); ++i) {
    INFO(guessed[i].name);
    CHECK(guessed[i].at == before[i].at);
    CHECK(guessed[i].guessed);
    CHECK(guessed[i].why.back().starts_with("Entries 12 to 14"));
  }
  for (const std::vector<std::string>& things : {std::vector<std::string>{"F1"}, {"27-001"}}) {
    work.losses = without(things);
    work.steps.clear();
    int found = 0;
    for (const Date& date : dates(work, 0, shop(), hour(500))) {
      CHECK_FALSE(date.at);
      found += date.name == food_contact;
    }
    CHECK(found == 1);
  }
  // No date rests on a wood lot.
  work = good_facts().work;
  work.losses = without({"W1"});
  CHECK(dates(work, 0, shop(), hour(500)).back().at == before.back().at);
}

TEST_CASE("losses: a check tells of them and what is fine only for want of words is left out") {
  using namespace findings_fixture;
  SuitabilityFacts f = good_facts();
  const auto of_tin = [&](const std::vector<Finding>& found) {
    return std::count_if(found.begin(), found.end(), [](const Finding& one) {
      return one.about.starts_with("F1") && one.result == Result::fine;
    });
  };
  const auto before = suitability(f, shop(), hour(500));
  CHECK(results(before, "lost-entries").empty());
  REQUIRE(of_tin(before) > 0);
  f.work.losses = gap();
  const auto found = suitability(f, shop(), hour(500));
  CHECK(results(found, "lost-entries") == "not known");
  CHECK(of_tin(found) == of_tin(before));
  f.work.losses = without({"F1"});
  CHECK(of_tin(suitability(f, shop(), hour(500))) == 0);
}

TEST_CASE("losses: what a rule does not find held is not known") {
  using namespace findings_fixture;
  MarketFacts f;
  f.made = good_facts();
  f.leaving = {"eu", "sale", false};
  f.pieces = {1, 2};
  Rule rule;
  rule.key = "eu-x";
  rule.market = "eu";
  rule.cite = "Article 1";
  const auto not_held = [&] {
    int out = 0;
    for (const std::string_view check : trencher::rule_checks) {
      rule.check = check;
      for (const Finding& finding : market_findings(f, std::vector{rule})) {
        out += finding.result == Result::not_held;
        CHECK(std::count(finding.entries.begin(), finding.entries.end(), 0) == 0);
      }
    }
    return out;
  };
  CHECK(not_held() > 3);
  f.made.work.losses = gap();
  CHECK(not_held() == 0);
}
