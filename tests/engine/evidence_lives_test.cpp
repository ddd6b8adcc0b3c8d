// What mixes, fitted things and a life with an owner make of the answers.
#include "evidence_fixture.h"

using namespace evidence_fixture;

namespace {

Turn came_back(std::string owner_applied) {
  Turn back;
  back.entry = 30;
  back.kind = Turn::Kind::take_back;
  back.owner_applied = std::move(owner_applied);
  return back;
}

}  // namespace

TEST_CASE("evidence: the chain leads through the mix") {
  PieceContents p = listed();
  p.tins.push_back(tin(8, "F2", {"bee-product"}));
  p.steps["F2"] = {12};
  p.mixed["F2"] = {{9, "F3 Board butter"}};
  const Answer a = answer(p, "bee-product", table());
  CHECK(a.result == yes);
  CHECK(rests_on(a, 12));
  CHECK(rests_on(a, 9));
  CHECK(says(a, "went into F3 Board butter."));
  // A source without papers leaves everything else open.
  CHECK(result(p, "milk") == unknown);
}

TEST_CASE("evidence: something fitted is judged by its own papers") {
  PieceContents p = listed();
  Tin feet = tin(8, "X1");
  feet.stock = "other";
  p.tins.push_back(feet);
  p.steps["X1"] = {12};
  CHECK(result(p, "milk") == unknown);
  p.statements.push_back(paper(9, "X1", Says::lists));
  CHECK(result(p, "milk") == none);
  p.statements.push_back(paper(10, "X1", Says::names, {"milk"}));
  const Answer a = answer(p, "milk", table());
  CHECK(a.result == yes);
  CHECK(says(a, "was fitted in this step."));
  CHECK(answer(p, "other", table()).result == yes);
  CHECK(answer(listed(), "other", table()).result == none);
}

TEST_CASE("evidence: a board that came back used is not known to be without anything") {
  PieceContents p = listed();
  REQUIRE(result(p, "milk") == none);
  p.returns = {came_back("")};
  const Answer a = answer(p, "milk", table());
  CHECK(a.result == unknown);
  CHECK(rests_on(a, 30));
  CHECK(says(a, "What its owner put on it is not known."));
  // Said to have put on nothing: the kitchen that it lay in stays unknown.
  p.returns = {came_back("nothing")};
  const Answer b = answer(p, "milk", table());
  CHECK(b.result == unknown);
  CHECK_FALSE(says(b, "its owner put on"));
  // Unused, it is what it was.
  p.returns.front().unused = true;
  const Answer c = answer(p, "milk", table());
  CHECK(c.result == none);
  CHECK(rests_on(c, 30));  // on what was said when it came back
}

TEST_CASE("evidence: a board that came back still contains what it contained") {
  PieceContents p = listed();
  p.tins.push_back(tin(8, "F2", {"tree-nut-walnut"}));
  p.steps["F2"] = {12};
  p.returns = {came_back("")};
  CHECK(result(p, "tree-nut") == yes);
}

TEST_CASE("evidence: a paper about a product speaks of one version of its label") {
  PieceContents p = piece();
  p.tins[1].product = "P1";
  p.tins[1].product_version = 2;
  p.statements = {paper(6, "G1", Says::lists), paper(7, "P1", Says::lists)};
  p.statements[1].version = 1;
  CHECK(result(p, "milk") == unknown);
  p.statements[1].version = 2;
  CHECK(result(p, "milk") == none);
  // A paper from before there were versions is about the first.
  p.statements[1].version = 0;
  CHECK(result(p, "milk") == unknown);
  p.tins[1].product_version = 1;
  CHECK(result(p, "milk") == none);
}
