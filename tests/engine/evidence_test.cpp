// The rule of evidence, case by case.
#include "evidence_fixture.h"

using namespace evidence_fixture;

TEST_CASE("evidence: without papers nothing is known and the answer says whom to ask") {
  const Answer a = answer(piece(), "tree-nut-walnut", table());
  CHECK(a.result == unknown);
  REQUIRE(a.missing.size() == 2);
  CHECK(a.missing[0].text == "an ingredient list of G1 Bond: ask its supplier North Supply");
  CHECK(a.missing[1].text == "an ingredient list of F1 Board oil: ask its supplier North Supply");
  CHECK(rests_on(a, 3));
  CHECK(rests_on(a, 4));
}

TEST_CASE("evidence: the nature of a kind is contained and the answer rests on the coats") {
  PieceContents p = listed();
  p.tins[1].contains = {"tree-nut-walnut"};
  const Answer a = answer(p, "tree-nut-walnut", table());
  CHECK(a.result == yes);
  CHECK(rests_on(a, 0));
  CHECK(rests_on(a, 11));
  CHECK(rests_on(a, 12));
  CHECK(result(p, "tree-nut") == yes);
  CHECK(result(p, "tree-nut-almond") == none);
}

TEST_CASE("evidence: none recorded needs a paper on every glue and finish") {
  CHECK(result(listed(), "tree-nut-walnut") == none);
  for (const std::size_t kept : {0, 1}) {
    PieceContents p = listed();
    p.statements = {p.statements[kept]};
    CHECK(result(p, "tree-nut-walnut") == unknown);
  }
}

TEST_CASE("evidence: the nature of a kind is never a paper") {
  PieceContents p = piece();
  for (Tin& t : p.tins) t.contains = {"linseed"};
  CHECK(result(p, "tree-nut-walnut") == unknown);
  CHECK(result(p, "linseed") == yes);
}

TEST_CASE("evidence: what a paper names says nothing of what it does not") {
  PieceContents p = piece();
  p.statements = {paper(6, "G1", Says::names, {"soy"}), paper(7, "F1", Says::names, {"linseed"})};
  CHECK(result(p, "soy") == yes);
  CHECK(result(p, "tree-nut-walnut") == unknown);
}

TEST_CASE("evidence: contains beats declares-none and both are shown") {
  PieceContents p = listed();
  p.statements.push_back(paper(8, "F1", Says::denies, {"soy"}));
  p.statements.push_back(paper(9, "F1", Says::names, {"soy"}));
  const Answer a = answer(p, "soy", table());
  CHECK(a.result == yes);
  CHECK(rests_on(a, 8));
  CHECK(rests_on(a, 9));
}

TEST_CASE("evidence: none of the family covers its members and not the other way round") {
  PieceContents p = piece();
  p.statements = {paper(6, "G1", Says::lists),
                  paper(7, "F1", Says::denies, {"tree-nut"}, "allergens")};
  CHECK(result(p, "tree-nut-walnut") == none);
  CHECK(result(p, "tree-nut") == none);
  p.statements[1].declares_none = {"tree-nut-walnut", "tree-nut-almond", "tree-nut-pine"};
  CHECK(result(p, "tree-nut-walnut") == none);
  CHECK(result(p, "tree-nut-chestnut") == unknown);
  CHECK(result(p, "tree-nut") == unknown);
}

TEST_CASE("evidence: a nut without its species leaves each species not known") {
  PieceContents p = listed();
  p.statements[1].contains = {"tree-nut"};
  CHECK(result(p, "tree-nut") == yes);
  const Answer a = answer(p, "tree-nut-walnut", table());
  CHECK(a.result == unknown);
  CHECK(says(a, "a tree nut, species not known"));
  // 'None of tree nuts' is plainly wrong then; 'no walnut' may still be right.
  p.statements.push_back(paper(8, "F1", Says::denies, {"tree-nut"}));
  CHECK(result(p, "tree-nut-walnut") == unknown);
  p.statements.push_back(paper(9, "F1", Says::denies, {"tree-nut-walnut"}));
  CHECK(result(p, "tree-nut-walnut") == none);
}

TEST_CASE("evidence: wheat is a cereal with gluten") {
  PieceContents p = listed();
  p.statements[0].contains = {"wheat"};
  CHECK(result(p, "gluten-cereals") == yes);
  p.statements[0].contains = {"gluten-cereals"};
  CHECK(result(p, "wheat") == unknown);
}

TEST_CASE("evidence: a list that is not marked complete proves no absence") {
  PieceContents p = listed();
  p.statements[1].complete = false;
  CHECK(result(p, "milk") == unknown);
}

TEST_CASE("evidence: a complete paper about food contact or safety is no ingredient list") {
  for (const char* about : {"food-contact", "safety"}) {
    PieceContents p = listed();
    p.statements[1].about = about;
    CHECK(result(p, "milk") == unknown);
  }
}

TEST_CASE("evidence: a complete allergen list covers what its market's list has") {
  PieceContents p = listed();
  p.statements[1].about = "allergens";
  p.statements[1].market = "eu";
  CHECK(result(p, "celery") == none);
  CHECK(result(p, "tree-nut-pine") == unknown);
  CHECK(result(p, "linseed") == unknown);
  CHECK(result(p, "animal-material") == unknown);
  p.statements[1].market = "de";
  CHECK(result(p, "celery") == none);
  p.statements[1].market = "us";
  CHECK(result(p, "celery") == unknown);
  CHECK(result(p, "tree-nut-pine") == none);
  p.statements[1].market = "";  // only what every market lists
  CHECK(result(p, "milk") == none);
  CHECK(result(p, "celery") == unknown);
}

TEST_CASE("evidence: an ingredient under its own name is not passed over") {
  PieceContents p = listed();
  p.statements[1].ingredients = {"refined walnut oil", "carnauba wax"};
  const Answer a = answer(p, "tree-nut-walnut", table());
  CHECK(a.result == unknown);
  CHECK(says(a, "refined walnut oil"));
  CHECK(result(p, "tree-nut") == unknown);
  CHECK(result(p, "milk") == none);
  p.statements[1].ingredients = {"Beeswax", "casein"};
  CHECK(result(p, "milk") == unknown);
  CHECK(result(p, "bee-product") == unknown);
  CHECK(result(p, "animal-material") == unknown);
  CHECK(result(p, "soy") == none);
}

TEST_CASE("evidence: a paper on the product speaks for its tins and for no other") {
  PieceContents p = listed();
  p.tins[1].product = "P1";
  p.statements[1].subject = "P1";
  CHECK(result(p, "milk") == none);
  p.tins[1].product = "P2";
  CHECK(result(p, "milk") == unknown);
}

TEST_CASE("evidence: a fitted part of which nothing is said leaves everything not known") {
  PieceContents p = listed();
  Step feet;
  feet.entry = 13;
  feet.kind = "fit";
  feet.text = "rubber feet";
  p.fitted = {feet};
  const Answer a = answer(p, "milk", table());
  CHECK(a.result == unknown);
  CHECK(rests_on(a, 13));
  CHECK(says(a, "rubber feet"));
  p.statements[0].contains = {"milk"};
  CHECK(result(p, "milk") == yes);
  CHECK(rests_on(answer(p, "contents", table()), 13));
}

TEST_CASE("evidence: undeclared cross-contact makes it not known") {
  PieceContents p = listed();
  p.cross_contact_declared = false;
  CHECK(result(p, "milk") == unknown);
  CHECK(!answer(p, "milk", table()).missing.empty());
}

TEST_CASE("evidence: cross-contact that names the thing or its family makes it not known") {
  PieceContents p = listed();
  p.cross_contact = {"tree-nut-walnut"};
  const Answer a = answer(p, "tree-nut-walnut", table());
  CHECK(a.result == unknown);
  CHECK(rests_on(a, 1));
  CHECK(says(a, "hared rags, brushes or bench: the shop handles walnut."));
  CHECK(result(p, "tree-nut") == unknown);
  CHECK(result(p, "tree-nut-almond") == none);
  p.cross_contact = {"tree-nut"};
  CHECK(result(p, "tree-nut-almond") == unknown);
  p.statements[1].contains = {"tree-nut-walnut"};
  CHECK(result(p, "tree-nut-walnut") == yes);
}

TEST_CASE("evidence: each allergen of the European annex and of US law goes through a made piece") {
  std::set<std::string> ids(eu_14.begin(), eu_14.end());
  ids.insert(us_9.begin(), us_9.end());
  CHECK(ids.size() ==
        15);  // the US names wheat alone of the cereals, and no celery, lupin, mustard ...
  for (const std::string& id : ids) {
    INFO(id);
    CHECK(result(piece(), id) == unknown);
    CHECK(result(listed(), id) == none);
    PieceContents p = listed();
    p.statements[1].contains = {id};
    CHECK(result(p, id) == yes);
    p = piece();
    p.tins[1].contains = {id, "per-label"};
    CHECK(result(p, id) == yes);
    p = piece();
    p.statements = {paper(6, "G1", Says::denies, {id}), paper(7, "F1", Says::denies, {id})};
    CHECK(result(p, id) == none);
    p.cross_contact = {id};
    CHECK(result(p, id) == unknown);
  }
}
