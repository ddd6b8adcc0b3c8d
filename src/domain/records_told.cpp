#include "domain/record_fields.h"
#include "domain/records.h"

// What was told, withdrawn, complained of: the records of what comes after the boards are made.
namespace trencher {

using namespace fields;

namespace {

Json words_json(const std::map<std::string, std::string>& words) {
  if (words.empty()) return {};
  Json out = Json::object();
  for (const auto& [topic, text] : words) out.set(topic, text);
  return out;
}

std::map<std::string, std::string> read_words(const Json& body) {
  std::map<std::string, std::string> out;
  if (const Json* words = body.find("words"))
    for (const auto& [topic, text] : words->members()) out[topic] = text.as_text();
  return out;
}

}  // namespace

Json PrintedCard::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces)).set("language", language);
  out.set("food_contact", day(food_contact)).set("guessed", filled(guessed));
  out.set("words", words_json(words));
  out.set("market", filled(market)).set("lines", filled(lines));
  return out.set("contains", filled(contains)).set("none_recorded", filled(none_recorded));
}

PrintedCard PrintedCard::read(const Json& body) {
  PrintedCard out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.language = body.text("language");
  out.food_contact = read_day(body, "food_contact");
  out.guessed = body.flag("guessed");
  out.words = read_words(body);
  out.contains = body.texts("contains");
  out.none_recorded = body.texts("none_recorded");
  out.market = read_text(body, "market");
  out.lines = body.texts("lines");
  return out;
}

Json Photograph::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("file_sha256", file_sha256);
  return out.set("file_name", file_name);
}

Photograph Photograph::read(const Json& body) {
  Photograph out;
  out.batch = body.text("batch");
  out.file_sha256 = body.text("file_sha256");
  out.file_name = body.text("file_name");
  return out;
}

namespace {

Json rule_json(const Rule& rule) {
  Json out = Json::object();
  out.set("key", rule.key).set("market", rule.market).set("cite", rule.cite);
  out.set("asks", rule.asks).set("when", rule.when).set("use", filled(rule.use));
  out.set("leaving", filled(rule.leaving)).set("food_business", Json(rule.food_business));
  out.set("species", filled(rule.species)).set("finish", filled(rule.finish));
  out.set("glue", filled(rule.glue)).set("check", rule.check).set("names", filled(rule.names));
  if (rule.keep_years) out.set("keep_years", *rule.keep_years);
  out.set("languages", filled(rule.languages)).set("ask", rule.ask);
  out.set("reviewed", iso(rule.reviewed)).set("source", rule.source);
  return out.set("standing", rule.standing);
}

Rule read_rule(const Json& json) {
  Rule out;
  out.key = json.text("key");
  out.market = json.text("market");
  out.cite = json.text("cite");
  out.asks = json.text("asks");
  out.when = json.text("when");
  out.use = json.texts("use");
  out.leaving = json.texts("leaving");
  if (const Json* business = json.find("food_business")) out.food_business = business->as_boolean();
  out.species = json.texts("species");
  out.finish = json.texts("finish");
  out.glue = json.texts("glue");
  out.check = json.text("check");
  out.names = json.texts("names");
  if (const auto years = json.maybe_integer("keep_years"))
    out.keep_years = static_cast<int>(*years);
  out.languages = json.texts("languages");
  out.ask = json.text("ask");
  out.reviewed = read_iso_day(json.text("reviewed"), "reviewed");
  out.source = json.text("source");
  out.standing = json.text("standing");
  return out;
}

}  // namespace

Json OwnRules::body() const {
  Json list = Json::array();
  for (const Rule& rule : rules) list.push(rule_json(rule));
  return Json::object().set("file_name", file_name).set("rules", std::move(list));
}

OwnRules OwnRules::read(const Json& body) {
  OwnRules out;
  out.file_name = body.text("file_name");
  for (const Json& rule : body.at("rules").items()) out.rules.push_back(read_rule(rule));
  return out;
}

Json KeptAnswer::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces)).set("position", position);
  out.set("words", words_json(words)).set("contains", filled(contains));
  out.set("none_recorded", filled(none_recorded)).set("not_known", filled(not_known));
  return out.set("rests_on", Json::list(rests_on));
}

KeptAnswer KeptAnswer::read(const Json& body) {
  KeptAnswer out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.position = body.integer("position");
  out.words = read_words(body);
  out.contains = body.texts("contains");
  out.none_recorded = body.texts("none_recorded");
  out.not_known = body.texts("not_known");
  out.rests_on = body.integers("rests_on");
  return out;
}

Json Withdrawal::body() const {
  Json out = Json::object();
  out.set("ids", Json::list(ids)).set("why", why);
  out.set("supplier", filled(supplier)).set("lot", filled(lot));
  return out.set("file_sha256", filled(file_sha256)).set("file_name", filled(file_name));
}

// In version 1 only tins could be withdrawn.
Withdrawal Withdrawal::read(const Json& body) {
  Withdrawal out;
  out.ids = body.texts(body.find("tins") ? "tins" : "ids");
  out.why = body.text("why");
  out.supplier = read_text(body, "supplier");
  out.lot = read_text(body, "lot");
  out.file_sha256 = read_text(body, "file_sha256");
  out.file_name = read_text(body, "file_name");
  return out;
}

Json RecallStep::body() const {
  Json out = Json::object();
  out.set("entry", withdrawal).set("batch", batch).set("pieces", Json::list(pieces));
  return out.set("state", state).set("how", filled(how));
}

RecallStep RecallStep::read(const Json& body) {
  RecallStep out;
  out.withdrawal = body.integer("entry");
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.state = body.text("state");
  out.how = read_text(body, "how");
  return out;
}

Json RecallEnd::body() const { return Json::object().set("entry", withdrawal).set("why", why); }

RecallEnd RecallEnd::read(const Json& body) {
  RecallEnd out;
  out.withdrawal = body.integer("entry");
  out.why = body.text("why");
  return out;
}

Json Complaint::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces)).set("what", what);
  return out.set("severity", severity).set("where", filled(where));
}

Complaint Complaint::read(const Json& body) {
  Complaint out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.what = body.text("what");
  out.severity = body.text("severity");
  out.where = read_text(body, "where");
  return out;
}

Json Forgotten::body() const { return Json::object().set("person", person); }

Forgotten Forgotten::read(const Json& body) {
  Forgotten out;
  out.person = body.text("person");
  return out;
}

std::string gap_words(const Gap& gap) {
  return gap.first == gap.last ? fmt::format("Entry {}", gap.first)
                               : fmt::format("Entries {} to {}", gap.first, gap.last);
}

Json Rescued::body() const {
  Json gap_list = Json::array(), unproved_list = Json::array(), lost_list = Json::array();
  for (const Gap& gap : gaps) {
    Json item = Json::object();
    item.set("first", gap.first).set("last", gap.last);
    gap_list.push(item.set("hash", filled(gap.hash)));
  }
  for (const Unproved& one : unproved)
    unproved_list.push(Json::object().set("entry", one.entry).set("digest", one.digest));
  for (const Lost& one : lost) {
    Json item = Json::object();
    item.set("id", one.id).set("class", one.class_name).set("gap", one.gap);
    lost_list.push(item.set("pieces", one.pieces ? Json(one.pieces) : Json()));
  }
  Json out = Json::object();
  out.set("source", source).set("source_sha256", source_sha256).set("gaps", std::move(gap_list));
  out.set("unproved", std::move(unproved_list)).set("lost", std::move(lost_list));
  if (!rehashed.empty()) out.set("rehashed", Json::list(rehashed));
  out.set("given_out", filled(given_out)).set("persons", filled(persons));
  out.set("files", filled(files)).set("left_out", left_out ? Json(left_out) : Json());
  return out.set("open_end", filled(open_end)).set("id_lost", filled(id_lost));
}

Rescued Rescued::read(const Json& body) {
  Rescued out;
  out.source = body.text("source");
  out.source_sha256 = body.text("source_sha256");
  for (const Json& item : body.at("gaps").items())
    out.gaps.push_back({item.integer("first"), item.integer("last"), read_text(item, "hash")});
  for (const Json& item : body.at("unproved").items())
    out.unproved.push_back({item.integer("entry"), item.text("digest")});
  for (const Json& item : body.at("lost").items())
    out.lost.push_back({item.text("id"), item.text("class"), item.integer("gap"),
                        static_cast<int>(item.maybe_integer("pieces").value_or(0))});
  out.rehashed = body.integers("rehashed");
  out.given_out = body.texts("given_out");
  out.persons = body.texts("persons");
  out.files = body.texts("files");
  out.left_out = static_cast<int>(body.maybe_integer("left_out").value_or(0));
  out.open_end = body.flag("open_end");
  out.id_lost = body.flag("id_lost");
  return out;
}

}  // namespace trencher
