// What the record holds for rules, check by check: each comes out in every way it can. The shop,
// its people and papers are invented; the rules' own texts are checked in tests/published.
#include "engine/market.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "findings_fixture.h"

using namespace findings_fixture;

namespace {

Rule rule_for(const std::string& check) {
  Rule rule;
  rule.key = "eu-x";
  rule.market = "eu";
  rule.cite = "Article 1";
  rule.check = check;
  return rule;
}

PrintedCard card(std::int64_t entry, std::vector<int> pieces, std::string language = "en") {
  PrintedCard out;
  out.entry = entry;
  out.batch = "27-001";
  out.pieces = std::move(pieces);
  out.language = std::move(language);
  out.lines = {"code", "maker", "address", "electronic-address", "responsible", "wash", "rags"};
  return out;
}

Gift gift(std::int64_t entry, std::vector<int> pieces, std::string person = "p1") {
  Gift out;
  out.entry = entry;
  out.at = moment(200);
  out.batch = "27-001";
  out.pieces = std::move(pieces);
  out.person = std::move(person);
  out.as = "sale";
  out.market = "eu";
  return out;
}

// Two boards, signed off, with a card each; nothing is missing.
MarketFacts good() {
  MarketFacts f;
  f.made = good_facts();
  f.made.wood[0].botanical_name = "Acer saccharum";
  f.made.wood[0].supplier = "Fold Sawmill";
  f.made.wood[0].lot = "7";
  f.made.wood[0].origin = "CA";
  for (auto& [id, tin] : f.made.work.tins) {
    tin.supplier = "Wold Finishes";
    tin.lot = "A1";
  }
  for (Statement& paper : f.made.statements) paper.market = "eu";
  f.leaving = {"eu", "sale", false};
  f.pieces = {1, 2};
  f.shop.maker = "Invented Boards";
  f.shop.address = "1 Test Lane";
  f.shop.contact = "bench@example.org";
  f.shop.country = "GB";
  f.shop.responsible = "Somebody, Somewhere 2, somebody@example.org";
  f.shop.cross_contact_declared = true;
  f.said = {1, 1, 1, 1};
  f.cards = {card(20, {1, 2})};
  SignOff sign_off;
  sign_off.entry = 19;
  f.sign_offs = {sign_off};
  f.signed_off = {1, 2};
  f.card_lines = {"maker", "address", "electronic-address", "code", "wash", "rags"};
  f.food_contact = hour(400);
  f.now = hour(500);
  f.today = march(22);
  f.offer = {"Invented Boards",      "1 Test Lane", "bench@example.org", "GB",
             "somebody@example.org", true,          "Hard maple",        "400 mm"};
  return f;
}

std::vector<Finding> found(const MarketFacts& facts, const Rule& rule) {
  return market_findings(facts, std::vector{rule});
}
std::string result(const MarketFacts& facts, const std::string& check) {
  return results(found(facts, rule_for(check)), check);
}
std::string why(const MarketFacts& facts, const std::string& check) {
  return reason(found(facts, rule_for(check)), check);
}
std::vector<std::int64_t> entries(const MarketFacts& facts, const std::string& check) {
  return found(facts, rule_for(check)).at(0).entries;
}
bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("market: every named check is there") {
  for (const std::string_view name : rule_checks) {
    INFO(name);
    Rule rule = rule_for(std::string(name));
    rule.keep_years = 10;
    rule.names = {"x"};
    CHECK_FALSE(found(good(), rule).empty());
  }
  CHECK(result(good(), "maker-decides") == "yours to decide");
  CHECK_THROWS_AS(found(good(), rule_for("no-such-check")), Error);
}

TEST_CASE("market: a rule applies by market, use, way, buyer, wood, finish and glue") {
  const MarketFacts f = good();
  Rule rule = rule_for("maker-decides");
  const auto counts = [&](const Leaving& leaving) { return applies(rule, f.made, leaving); };
  CHECK(counts({"eu", "sale", false}));
  CHECK(counts({"de", "sale", false}));
  CHECK_FALSE(counts({"uk", "sale", false}));
  rule.market = "any";
  CHECK(counts({"uk", "sale", false}));
  rule.leaving = {"gift", "sale"};
  CHECK_FALSE(counts({"uk", "private-gift", false}));
  rule.use = {"cutting-board"};
  CHECK_FALSE(counts({"uk", "sale", false}));
  rule.use = {"serving-board"};
  rule.food_business = true;
  CHECK_FALSE(counts({"uk", "sale", false}));
  CHECK(counts({"uk", "sale", true}));
  rule.species = {"cocobolo"};
  CHECK_FALSE(counts({"uk", "sale", true}));
  rule.species = {"cocobolo", "hard-maple"};
  rule.finish = {"epoxy-coat"};
  rule.glue = {"epoxy"};
  CHECK_FALSE(counts({"uk", "sale", true}));
  rule.glue = {"pva-d3"};
  CHECK(counts({"uk", "sale", true}));
}

TEST_CASE("market: no check of a market says fine or stop") {
  for (const std::string_view name : rule_checks) {
    Rule rule = rule_for(std::string(name));
    rule.keep_years = 10;
    rule.names = {"x"};
    for (const MarketFacts& facts : {good(), MarketFacts{}})
      for (const Finding& finding : found(facts, rule)) {
        INFO(name << ": " << finding.reason);
        CHECK(finding.kind == "market");
        CHECK(finding.result != Result::fine);
        CHECK(finding.result != Result::stop);
        CHECK(finding.result != Result::caution);
        CHECK(finding.source == "Article 1");
        CHECK(finding.rule == "eu-x");
      }
  }
}

TEST_CASE("market: code, maker and cautions are held by the cards that were printed") {
  MarketFacts f = good();
  for (const char* check : {"batch-code-on-card", "maker-on-card", "card-cautions"}) {
    INFO(check);
    CHECK(result(f, check) == "held");
  }
  CHECK(entries(f, "maker-on-card") == std::vector<std::int64_t>{1, 20});
  f.cards = {card(20, {1})};
  for (const char* check : {"batch-code-on-card", "maker-on-card", "card-cautions"})
    CHECK(says(why(f, check), "No card is printed of piece 2"));
  f.cards = {card(20, {1, 2}), card(21, {2})};
  f.cards[1].lines = {"code", "maker", "address", "electronic-address", "wash"};
  CHECK(result(f, "batch-code-on-card") == "held");
  CHECK(why(f, "card-cautions") == "The card of piece 2 lacks: rags.");
  f.cards[1].lines.clear();  // of an earlier version
  CHECK(result(f, "card-cautions") == "not known");
}

TEST_CASE("market: a card of a former life, of another market, or of the maker's old address") {
  MarketFacts f = good();
  f.turned[2] = 25;  // it came back after its card
  CHECK(says(why(f, "batch-code-on-card"), "No card is printed of piece 2"));
  CHECK(result(f, "card-language") == "not held");
  f.cards.push_back(card(26, {2}));
  CHECK(result(f, "batch-code-on-card") == "held");
  // A later card for elsewhere does not stand for the one that was printed for here.
  f.cards[0].market = f.cards[1].market = "eu";
  f.cards.push_back(card(27, {1, 2}));
  f.cards[2].market = "us";
  f.cards[2].lines = {"code"};
  CHECK(result(f, "card-cautions") == "held");
  f.maker_since = 26;
  CHECK(
      why(f, "maker-on-card") ==
      "The card of piece 1 was printed before entry 26 changed it: the maker's name and address.");
  CHECK(result(f, "batch-code-on-card") == "held");
}

TEST_CASE("market: of a batch that is all scrapped nothing is held") {
  MarketFacts f = good();
  f.pieces.clear();
  for (const char* check : {"batch-code-on-card", "maker-on-card", "card-cautions", "card-language",
                            "batch-documented", "cure-and-inspection"}) {
    INFO(check);
    CHECK(result(f, check) == "not known");
  }
}

TEST_CASE("market: an address that the book lacks is named, an electronic one where it is owed") {
  MarketFacts f = good();
  f.shop.contact = "01234 567890";
  CHECK(result(f, "maker-on-card") == "held");
  Rule electronic = rule_for("maker-on-card");
  electronic.key = "eu-gpsr-art9";
  CHECK(says(found(f, electronic).at(0).reason, "an e-mail or web address"));
  f.shop.address.clear();
  CHECK(says(why(f, "maker-on-card"), "a postal address"));
}

TEST_CASE("market: what counts as an electronic address") {
  for (const char* contact :
       {"bench@example.org", "www.example.org", "https://example.org/boards",
        "tel. 0123, bench@example.org", "example.co.uk", "(b.c@d-e.example)"}) {
    INFO(contact);
    CHECK(has_electronic_address(contact));
  }
  for (const char* contact :
       {"", "01234 567890", "3 Harrow Yard", "at the stall", "bench@example", "No. 3.", "12.5"}) {
    INFO(contact);
    CHECK_FALSE(has_electronic_address(contact));
  }
}

TEST_CASE("market: the card's language is held where the rule names it, else the maker's to say") {
  MarketFacts f = good();
  Rule rule = rule_for("card-language");
  CHECK(results(found(f, rule), "card-language") == "yours to decide");
  rule.languages = {"en", "fr"};
  CHECK(results(found(f, rule), "card-language") == "not held");
  f.cards.push_back(card(21, {1, 2}, "fr"));
  CHECK(results(found(f, rule), "card-language") == "held");
  f.cards.clear();
  CHECK(results(found(f, rule), "card-language") == "not held");
}

TEST_CASE("market: a supplier's declaration is for this market and not expired") {
  MarketFacts f = good();
  CHECK(result(f, "supplier-declaration") == "held held");
  f.made.statements[0].market = "uk";
  CHECK(result(f, "supplier-declaration") == "not held held");
  CHECK(says(why(f, "supplier-declaration"), "for 'uk', not for 'eu'"));
  f.leaving.market = "de";
  f.made.statements[0].market = "eu";
  CHECK(result(f, "supplier-declaration") == "held held");
  f.made.statements[0].valid_until = march(21);
  CHECK(says(why(f, "supplier-declaration"), "was valid until Sun 21 Mar 2027"));
  f.made.statements[0].valid_until = march(22);
  CHECK(result(f, "supplier-declaration") == "held held");
  f.made.statements[0].market.clear();
  CHECK(result(f, "supplier-declaration") == "not known held");
  f.made.statements.clear();
  CHECK(result(f, "supplier-declaration") == "not held not held");
}

TEST_CASE("market: a paper cites what it names as a word, not as a part of one") {
  MarketFacts f = good();
  Rule rule = rule_for("paper-names");
  rule.names = {"172.878", "USP"};
  rule.finish = {"hardwax-oil"};
  const auto come_out = [&](const char* reference) {
    f.made.statements[1].reference = reference;
    return results(found(f, rule), "paper-names");
  };
  CHECK(come_out("meets 21 CFR 172.878") == "held");
  CHECK(come_out("White oil, usp") == "held");
  CHECK(come_out("21 CFR 172.8781") == "not held");
  CHECK(come_out("USPS parcel") == "not held");
  CHECK(come_out("food grade") == "not held");
  CHECK(come_out("") == "not held");
  f.made.statements[1].valid_until = march(21);
  CHECK(come_out("meets 21 CFR 172.878") == "not held");
  f.made.statements[1].valid_until = {};
  f.made.statements[1].market = "ca";
  CHECK(come_out("meets 21 CFR 172.878") == "not held");
}

TEST_CASE("market: ingredients are held by a complete list alone") {
  MarketFacts f = good();
  CHECK(result(f, "ingredients-listed") == "not known not known");
  Statement list = food_statement(8, "F1");
  list.about = "ingredients";
  f.made.statements.push_back(list);
  CHECK(says(found(f, rule_for("ingredients-listed")).at(1).reason, "not marked complete"));
  f.made.statements.back().complete = true;
  CHECK(result(f, "ingredients-listed") == "not known held");
  f.made.statements.push_back(list);  // a newer one that is not complete counts
  CHECK(result(f, "ingredients-listed") == "not known not known");
  f.made.statements.back().complete = true;
  f.made.statements.back().valid_until = march(21);
  f.made.statements[2].valid_until = march(21);
  CHECK(result(f, "ingredients-listed") == "not known not known");
}

TEST_CASE("market: what the wood went through") {
  MarketFacts f = good();
  WoodLot& lot = f.made.wood[0];
  CHECK(result(f, "wood-history") == "held");
  lot.treated = {};
  CHECK(result(f, "wood-history") == "not known");
  lot.treated = true;
  CHECK(result(f, "wood-history") == "not held");
  lot.treated = false;
  lot.reclaimed = true;
  CHECK(result(f, "wood-history") == "not known");
  lot.mark = "MB";
  CHECK(says(why(f, "wood-history"), "methyl bromide"));
  CHECK(result(f, "wood-history") == "not held");
  lot.mark = "HT";
  CHECK(result(f, "wood-history") == "yours to decide");
}

TEST_CASE("market: origin needs a name, a country, a supplier and a paper") {
  MarketFacts f = good();
  CHECK(why(f, "timber-origin") ==
        "W1 Hard maple: no valid paper on its origin for this market is recorded.");
  Statement paper;
  paper.entry = 9;
  paper.subject = "W1";
  paper.about = "origin";
  paper.reference = "DDS 12";
  f.made.statements.push_back(paper);
  CHECK(result(f, "timber-origin") == "held");
  CHECK(entries(f, "timber-origin") == std::vector<std::int64_t>{2, 9});
  f.made.statements.back().valid_until = march(21);
  CHECK(result(f, "timber-origin") == "not held");
  f.made.statements.back().valid_until = march(22);
  f.made.statements.back().market = "us";
  CHECK(result(f, "timber-origin") == "not held");
  f.made.statements.back().market = "eu";
  CHECK(result(f, "timber-origin") == "held");
  f.made.wood[0].origin.clear();
  CHECK(says(why(f, "timber-origin"), "no country of harvest"));
  f.made.wood[0].from_customer = true;
  CHECK(result(f, "timber-origin") == "not known");
}

TEST_CASE(
    "market: a listed wood wants a paper, and its office decides, and a wood of one's own was "
    "never looked up") {
  MarketFacts f = good();
  CHECK(result(f, "cites-listed-wood") == "held");
  f.made.species["hard-maple"].cites_appendix = "II";
  CHECK(result(f, "cites-listed-wood") == "not held");
  Statement paper;
  paper.entry = 9;
  paper.subject = "W1";
  paper.about = "origin";
  paper.reference = "permit 12";
  f.made.statements.push_back(paper);
  CHECK(result(f, "cites-listed-wood") == "yours to decide");
  f.made.species["hard-maple"].cites_appendix = "I";
  CHECK(result(f, "cites-listed-wood") == "not held");
  f.own_species = {"hard-maple"};
  CHECK(result(f, "cites-listed-wood") == "not known");
  CHECK(result(f, "wood-listed-in-france") == "not known");
  f.made.species.clear();
  CHECK(result(f, "wood-listed-in-france") == "not known");
  CHECK(result(f, "hard-close-grained-wood") == "not known");
}

TEST_CASE("market: cross-contact and claims") {
  MarketFacts f = good();
  CHECK(result(f, "cross-contact-declared") == "held");
  f.shop.cross_contact = {"milk"};
  CHECK(says(why(f, "cross-contact-declared"), "milk"));
  f.shop.cross_contact_declared = false;
  CHECK(result(f, "cross-contact-declared") == "not held");
  CHECK(result(f, "claims-checked") == "held");
  f.claims.push_back({"claim-in-text", "suitability", Result::stop, "X1", "It says too much."});
  CHECK(result(f, "claims-checked") == "not held");
}

TEST_CASE("market: traced back to each supplier and lot") {
  MarketFacts f = good();
  CHECK(result(f, "traceable-back") == "held");
  CHECK(entries(f, "traceable-back") == std::vector<std::int64_t>{2, 3, 4});
  f.made.work.tins["F1"].lot.clear();
  CHECK(why(f, "traceable-back") == "Not traced to a supplier: F1 has no lot.");
  f.made.wood[0].from_customer = true;
  CHECK(says(why(f, "traceable-back"), "W1 is a customer's own wood; F1 has no lot"));
  Step fitted = step(14, "fit", 60);
  f.made.work.steps.push_back(fitted);
  CHECK(says(why(f, "traceable-back"), "entry 14"));
}

TEST_CASE("market: traced forward to people, strangers, the forgotten") {
  MarketFacts f = good();
  CHECK(result(f, "traceable-forward") == "not known");
  f.gifts = {gift(30, {1})};
  CHECK(result(f, "traceable-forward") == "held");
  f.gifts.push_back(gift(31, {2}, ""));
  CHECK(result(f, "traceable-forward") == "held");
  CHECK(says(why(f, "traceable-forward"), "piece 2: to strangers"));
  f.gifts[1].food_business = true;
  CHECK(result(f, "traceable-forward") == "not held");
  f.gifts.pop_back();
  f.forgotten = {"p1"};
  CHECK(result(f, "traceable-forward") == "yours to decide");
  f.gifts[0].food_business = true;
  CHECK(result(f, "traceable-forward") == "not held");
}

TEST_CASE("market: the batch is documented by its steps and its sign-off") {
  MarketFacts f = good();
  CHECK(result(f, "batch-documented") == "held");
  f.signed_off = {2};
  f.made.work.steps.back().pieces = {1};  // the inspection
  CHECK(why(f, "batch-documented") ==
        "Not recorded yet: inspection of piece 2 and sign-off of piece 1.");
}

TEST_CASE("market: cured and looked at, piece by piece") {
  MarketFacts f = good();
  CHECK(result(f, "cure-and-inspection") == "held");
  f.food_contact_guessed = true;
  CHECK(result(f, "cure-and-inspection") == "not known");
  f.now = hour(399);
  CHECK(says(why(f, "cure-and-inspection"), "not over, and its end is guessed"));
  f.food_contact = {};
  CHECK(result(f, "cure-and-inspection") == "not known");
  f = good();
  Step late = step(15, "coat", 120, {"F1"});
  late.pieces = {2};
  f.made.work.steps.push_back(late);
  CHECK(why(f, "cure-and-inspection") == "No inspection is logged after the last coat of piece 2.");
  Step look = step(16, "inspect", 130);
  look.pieces = {2};
  look.result = "not-sound";
  f.made.work.steps.push_back(look);
  CHECK(why(f, "cure-and-inspection") == "The inspection found piece 2 not sound.");
}

TEST_CASE("market: records are kept to the end of the year, never shorter than the rule's years") {
  MarketFacts f = good();
  Rule rule = rule_for("records-kept");
  rule.keep_years = 10;
  const auto why_kept = [&] { return reason(found(f, rule), "records-kept"); };
  CHECK(says(why_kept(), "10 years from the day that the last one leaves"));
  f.gifts = {gift(30, {1}), gift(31, {2})};
  CHECK(says(why_kept(), "at least to the end of 2037"));
  f.forgotten = {"p1"};
  CHECK(results(found(f, rule), "records-kept") == "held");
  f.gifts[0].food_business = true;
  CHECK(results(found(f, rule), "records-kept") == "not held");
  f.today = Day{std::chrono::year{2038}, std::chrono::month{1}, std::chrono::day{1}};
  CHECK(results(found(f, rule), "records-kept") == "held");
}

TEST_CASE("market: who is responsible in the Union") {
  MarketFacts f = good();
  CHECK(result(f, "responsible-person") == "held");
  f.shop.responsible = "Somebody, Somewhere 2";
  CHECK(says(why(f, "responsible-person"), "no e-mail or web address"));
  f.shop.responsible += ", somebody@example.org";
  std::erase(f.cards[0].lines, "responsible");
  CHECK(why(f, "responsible-person") == "The card of pieces 1-2 lacks: responsible.");
  f.shop.responsible.clear();
  CHECK(result(f, "responsible-person") == "not held");
  f.shop.country = "FR";
  CHECK(result(f, "responsible-person") == "held");
  f.shop.country.clear();
  CHECK(result(f, "responsible-person") == "not known");
}

TEST_CASE("market: what an offer by post lacks") {
  MarketFacts f = good();
  CHECK(result(f, "offer-text") == "held");
  OfferFacts bare{"Invented Boards"};
  CHECK(missing_from_offer(bare, "uk").size() == 4);
  CHECK(missing_from_offer(bare, "eu").size() == 5);
  OfferFacts abroad = f.offer;
  abroad.responsible = "Somebody, by post alone";
  CHECK(missing_from_offer(abroad, "eu").size() == 1);
  abroad.responsible.clear();
  CHECK(missing_from_offer(abroad, "eu").size() == 1);
  CHECK(missing_from_offer(abroad, "de").size() == 1);
  CHECK(missing_from_offer(abroad, "us").empty());
  abroad.country = "IE";
  CHECK(missing_from_offer(abroad, "eu").empty());
}

TEST_CASE("market: complaints and withdrawals are the maker's to act on") {
  MarketFacts f = good();
  CHECK(result(f, "accident-report") == "held");
  Complaint flaw;
  flaw.entry = 40;
  flaw.severity = "flaw";
  f.complaints = {flaw};
  CHECK(result(f, "accident-report") == "held");
  f.complaints[0].severity = "hurt-somebody";
  CHECK(result(f, "accident-report") == "yours to decide");
  CHECK(entries(f, "accident-report") == std::vector<std::int64_t>{40});
  CHECK(result(f, "recall-notice") == "held");
  f.made.withdrawn["F1"] = {.entry = 41};
  CHECK(result(f, "recall-notice") == "yours to decide");
}

// Treaty on European Union, article 52, from memory.
TEST_CASE("market: states inside and outside the Union") {
  for (const char* country : {"DE", "FR", "IE", "HR", "MT"}) CHECK(is_in_union(country));
  for (const char* country : {"GB", "CH", "NO", "US", "", "de", "XI"})
    CHECK_FALSE(is_in_union(country));
}
