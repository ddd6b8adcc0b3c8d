// The lists of allergens against the laws, typed in from the sources and not from our table.
#include <catch2/catch.hpp>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include "engine/evidence_topic.h"
#include "reference/reference.h"

namespace {

using trencher::Allergen;
namespace reference = trencher::reference;
using Ids = std::set<std::string>;

const Allergen& thing(const std::string& id) {
  const Allergen* found = reference::find_allergen(id);
  INFO(id);
  REQUIRE(found);
  return *found;
}

// What a market lists, apart from the single kinds of nut.
Ids listed(bool Allergen::*market) {
  Ids ids;
  for (const Allergen& each : reference::allergens())
    if (each.*market && each.parent != "tree-nut") ids.insert(each.id);
  return ids;
}

// What an offer or card for the market has to name: of a family that is listed, not its kinds.
Ids named(const std::string& market) {
  Ids ids;
  for (const Allergen& each : reference::allergens())
    if (trencher::engine::is_named_by_list(each, market, reference::allergens()))
      ids.insert(each.id);
  return ids;
}

Ids nuts(bool Allergen::*market) {
  Ids ids;
  for (const Allergen& each : reference::allergens())
    if (each.*market && each.parent == "tree-nut") ids.insert(each.id);
  return ids;
}

}  // namespace

// 21 USC 321(qq), FALCPA 2004: milk, egg, fish, crustacean shellfish, tree nuts, wheat, peanuts,
// soybeans; FASTER Act 2021: sesame (read in two legal notices).
TEST_CASE("published: the nine major allergens of US law and no others are listed for the US") {
  const Ids nine{"milk",  "egg",    "fish", "crustacea", "tree-nut",
                 "wheat", "peanut", "soy",  "sesame"};
  REQUIRE(nine.size() == 9);
  CHECK(listed(&Allergen::us) == nine);
  CHECK(named("us") == nine);
  CHECK(named("us-ca") == nine);
}

// Regulation (EU) 1169/2011, Annex II, numbers 1 to 14 (items 1 to 8 read, 9 to 14 read in two
// printed lists); wheat is named within number 1. The assimilated text for Great Britain has the
// same.
TEST_CASE("published: the fourteen of the European annex are listed for the EU and the UK") {
  const std::vector<std::string> annex{
      "gluten-cereals", "crustacea", "egg",     "fish",   "peanut",    "soy",   "milk",
      "tree-nut",       "celery",    "mustard", "sesame", "sulphites", "lupin", "molluscs"};
  REQUIRE(annex.size() == 14);
  Ids expected(annex.begin(), annex.end());
  CHECK(named("eu") == expected);
  CHECK(named("de") == expected);
  CHECK(named("uk") == expected);
  expected.insert("wheat");
  CHECK(listed(&Allergen::eu) == expected);
  CHECK(listed(&Allergen::uk) == expected);
  for (std::size_t i = 0; i < annex.size(); ++i)
    if (annex[i] != "tree-nut" && annex[i] != "gluten-cereals") {
      INFO(annex[i]);
      CHECK(thing(annex[i]).notes.find("EU no " + std::to_string(i + 1)) == 0);
    }
}

// Annex II no 8: almonds, hazelnuts, walnuts, cashews, pecan, Brazil, pistachio, macadamia (read).
TEST_CASE("published: the eight nuts of the European annex are listed") {
  const Ids eight{"tree-nut-almond",    "tree-nut-hazelnut", "tree-nut-walnut",
                  "tree-nut-cashew",    "tree-nut-pecan",    "tree-nut-brazil",
                  "tree-nut-pistachio", "tree-nut-macadamia"};
  CHECK(nuts(&Allergen::eu) == eight);
  CHECK(nuts(&Allergen::uk) == eight);
}

// FDA guidance on food allergens, edition 5, January 2025, as three reports that agree give it:
// almond, black walnut, Brazil nut, California walnut, cashew, hazelnut, heartnut, macadamia,
// pecan, pine nut, pistachio, English walnut. The four walnuts are one row here.
TEST_CASE("published: the tree nuts of the FDA guidance of January 2025 are listed for the US") {
  const Ids kept{"tree-nut-almond", "tree-nut-walnut",   "tree-nut-brazil",
                 "tree-nut-cashew", "tree-nut-hazelnut", "tree-nut-macadamia",
                 "tree-nut-pecan",  "tree-nut-pine",     "tree-nut-pistachio"};
  CHECK(nuts(&Allergen::us) == kept);
  for (const std::string name : {"English", "black", "California", "heartnut"})
    CHECK(thing("tree-nut-walnut").notes.find(name) != std::string::npos);
}

// Dropped by the same edition: beech nut, butternut, chestnut, chinquapin, coconut, cola nut,
// ginkgo, hickory nut, palm nut, pili nut, shea nut.
TEST_CASE("published: the nuts that FDA dropped in January 2025 are kept but not listed") {
  for (const std::string id : {"tree-nut-beech", "tree-nut-butternut", "tree-nut-chestnut",
                               "tree-nut-chinquapin", "coconut", "cola-nut", "tree-nut-ginkgo",
                               "tree-nut-hickory", "palm-nut", "tree-nut-pili", "shea"}) {
    INFO(id);
    CHECK_FALSE(thing(id).us);
    CHECK_FALSE(thing(id).eu);
    CHECK(thing(id).group == "allergen");  // a market listed it once
    CHECK(thing(id).notes.find("January 2025") != std::string::npos);
  }
}

// Health Canada, priority allergens, 2017 (read): eggs, milk, mustard, peanuts, crustaceans and
// molluscs, fish, sesame, soy, sulphites, tree nuts, wheat and triticale, and gluten sources.
TEST_CASE("published: the priority allergens of Canada are listed") {
  CHECK(listed(&Allergen::ca) == Ids{"egg", "milk", "mustard", "peanut", "crustacea", "molluscs",
                                     "fish", "sesame", "soy", "sulphites", "tree-nut", "wheat",
                                     "gluten-cereals"});
  CHECK(nuts(&Allergen::ca) == nuts(&Allergen::us));
}

// Food Standards Code 1.2.3 and Schedule 9 (names from memory).
TEST_CASE("published: the allergens of Australia and New Zealand are listed") {
  CHECK(listed(&Allergen::anz) == Ids{"wheat", "gluten-cereals", "fish", "crustacea", "molluscs",
                                      "egg", "milk", "lupin", "peanut", "soy", "sesame", "tree-nut",
                                      "sulphites"});
  CHECK(nuts(&Allergen::anz) == nuts(&Allergen::us));
}

// The names differ by law: pine nut, molluscs, coconut, beech (the lists above).
TEST_CASE("published: markets differ where the laws differ") {
  CHECK((thing("tree-nut-pine").us && !thing("tree-nut-pine").eu));
  CHECK((thing("molluscs").eu && !thing("molluscs").us));
  CHECK((thing("gluten-cereals").eu && !thing("gluten-cereals").us));
  CHECK((thing("lupin").eu && !thing("lupin").ca));
}

// US law leaves highly refined oil out (twin rule 27 CFR 4.32a, read); Annex II frees only fully
// refined soybean oil and fat (read).
TEST_CASE("published: refined nut oil is told apart by market") {
  for (const std::string id : {"tree-nut-walnut", "tree-nut-hazelnut", "peanut", "sesame", "soy"}) {
    const std::string& notes = thing(id).notes;
    INFO(id);
    CHECK(notes.find("ighly refined oil") != std::string::npos);
    CHECK(notes.find("European and UK") != std::string::npos);
  }
}

TEST_CASE("published: a substance that no list names is listed nowhere") {
  for (const Allergen& each : reference::allergens()) {
    INFO(each.id);
    if (each.group == "substance")
      CHECK_FALSE((each.us || each.eu || each.uk || each.ca || each.anz));
  }
  CHECK(thing("bee-product").group == "substance");
  CHECK(thing("tung-nut").parent.empty());
}
