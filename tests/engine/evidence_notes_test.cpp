// What an answer says beside its result: reservations, timber, laws, animal material, lists.
#include "domain/error.h"
#include "evidence_fixture.h"

using namespace evidence_fixture;
TEST_CASE("evidence: none recorded never stands without its reservations") {
  const Answer a = answer(listed(), "milk", table());
  CHECK(says(a, "None recorded does not mean free from."));
  CHECK(says(a, "A maker's record is no medical advice; ask a doctor."));
  CHECK(says(a, "Black walnut (Juglans nigra)"));
  CHECK(rests_on(a, 6));
  CHECK(rests_on(a, 7));
  CHECK(rests_on(a, 1));
}

TEST_CASE("evidence: timber never answers for a nut") {
  CHECK(result(listed(), "tree-nut-walnut") == none);  // black walnut boards
  CHECK(says(answer(listed(), "tree-nut-walnut", table()), "ask a doctor"));
}

TEST_CASE("evidence: the answer says whose list has the name") {
  CHECK(says(answer(listed(), "tree-nut-pine", table()),
             "Pine nut: on the lists of food allergens of the United States, Canada, and Australia "
             "and New "
             "Zealand, not on those of the European Union and the United Kingdom."));
  PieceContents p = listed();
  p.topic_market = "uk";
  CHECK(says(
      answer(p, "celery", table()),
      "Celery: on the lists of food allergens of the United Kingdom and the European Union, not on "
      "those of the United States, Canada, and Australia and New Zealand."));
  CHECK(says(answer(p, "linseed", table()), "Linseed: on none of the lists"));
}

// US law takes highly refined oils out (as in 27 CFR 4.32a, read); EU and UK Annex II frees only
// fully refined soybean oil and fat (read).
TEST_CASE("evidence: the laws part on refined oils of nuts and seeds") {
  CHECK(
      says(answer(listed(), "tree-nut-walnut", table()), "walnut stays on theirs however refined"));
  CHECK(says(answer(listed(), "tree-nut-pine", table()), "highly refined oils"));
  CHECK(!says(answer(listed(), "tree-nut-pine", table()), "stays on theirs"));
  CHECK(says(answer(listed(), "sesame", table()), "highly refined oils"));
  CHECK(says(answer(listed(), "soy", table()), "highly refined oils"));
  CHECK(!says(answer(listed(), "soy", table()), "stays on theirs"));
  CHECK(!says(answer(listed(), "milk", table()), "refined"));
  CHECK(!says(answer(listed(), "tree-nut-chestnut", table()), "refined"));
}

TEST_CASE("evidence: animal material is there by kind or by origin or by paper") {
  PieceContents p = listed();
  CHECK(result(p, "animal-material") == none);
  CHECK(result(p, "animal-derived") == none);
  p.tins[0].contains = {"milk"};
  CHECK(result(p, "animal-material") == yes);
  p = listed();
  p.tins[0].animal_origin = "yes";
  CHECK(result(p, "animal-material") == yes);
  p = listed();
  p.statements[1].contains = {"bee-product"};
  CHECK(result(p, "animal-material") == yes);
}

TEST_CASE("evidence: that a kind is usually free of animal material is no paper") {
  CHECK(result(piece(), "animal-material") == unknown);
  PieceContents p = piece();
  p.statements = {paper(6, "G1", Says::denies, {"animal-derived"}),
                  paper(7, "F1", Says::denies, {"milk"})};
  CHECK(result(p, "animal-material") == unknown);
  p.statements[1].declares_none = {"animal-derived"};
  CHECK(result(p, "animal-material") == none);
}

TEST_CASE("evidence: glue that is not logged yet leaves everything not known") {
  PieceContents p = listed();
  p.glue_logged = false;
  p.tins.erase(p.tins.begin());
  CHECK(result(p, "milk") == unknown);
  CHECK(result(p, "glue") == unknown);
}

TEST_CASE("evidence: a piece on which nothing is logged is not known") {
  PieceContents p = piece();
  p.tins.clear();
  CHECK(result(p, "milk") == unknown);
  CHECK(result(p, "finish") == unknown);
  CHECK(result(p, "glue") == none);
}

TEST_CASE("evidence: before the first coat the answer says that it speaks of what is logged") {
  PieceContents p = listed();
  p.tins.pop_back();
  CHECK(result(p, "milk") == none);
  CHECK(says(answer(p, "milk", table()), "No coat is logged yet"));
  CHECK(!says(answer(listed(), "milk", table()), "No coat is logged yet"));
}

TEST_CASE("evidence: lists of wood and glue and finish name each with its entry") {
  const PieceContents p = listed();
  CHECK(rests_on(answer(p, "wood", table()), 2));
  CHECK(rests_on(answer(p, "glue", table()), 3));
  CHECK(!rests_on(answer(p, "glue", table()), 4));
  CHECK(rests_on(answer(p, "finish", table()), 4));
  const Answer all = answer(p, "contents", table());
  for (const std::int64_t entry : {2, 3, 4, 10, 11, 12}) CHECK(rests_on(all, entry));
  CHECK(all.missing.empty());
  CHECK(answer(piece(), "contents", table()).missing.size() == 2);
}

TEST_CASE("evidence: a question about what the table does not know is refused") {
  CHECK_THROWS_AS(answer(piece(), "unicorn", table()), Error);
}
