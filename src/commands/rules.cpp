#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/input_file.h"
#include "commands/lookup.h"
#include "commands/markets.h"
#include "commands/rulebook.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/never_said.h"
#include "reference/reference.h"
#include "reference/tables.h"

namespace trencher::commands {
namespace {

constexpr std::size_t most_rules_megabytes = 1;

Json json_of(const Rule& rule, bool own) {
  Json out = Json::object();
  out.set("key", rule.key).set("market", rule.market).set("cite", rule.cite);
  out.set("asks", rule.asks).set("when", rule.when).set("use", Json::list(rule.use));
  out.set("leaving", Json::list(rule.leaving));
  out.set_or_null("food_business", Json(rule.food_business));
  out.set("species", Json::list(rule.species)).set("finish", Json::list(rule.finish));
  out.set("glue", Json::list(rule.glue)).set("check", rule.check);
  out.set("names", Json::list(rule.names)).set_or_null("keep_years", Json(rule.keep_years));
  out.set("languages", Json::list(rule.languages)).set("ask", rule.ask);
  out.set("reviewed", iso(rule.reviewed)).set("source", rule.source);
  return out.set("standing", rule.standing).set("own", own);
}

// What narrows a rule down, beside its own words.
std::string narrowed(const Rule& rule) {
  std::vector<std::string> out;
  const auto add = [&](const char* what, const std::vector<std::string>& words) {
    if (!words.empty()) out.push_back(fmt::format("{}: {}", what, join(words, ", ")));
  };
  add("use", rule.use);
  add("leaving as", rule.leaving);
  if (rule.food_business)
    out.emplace_back(*rule.food_business ? "to a food business" : "not to a food business");
  add("wood", rule.species);
  add("finish", rule.finish);
  add("glue", rule.glue);
  return join(out, "; ");
}

Sheet sheet_of(const Rule& rule, bool own, const std::optional<Day>& now) {
  Sheet out{rule.key, rule.cite};
  const bool old = now && reviewed_long_ago(rule, *now);
  out.second = old ? "look again" : "";
  out.aside = own ? "yours" : "";
  out.json = json_of(rule, own);
  out.line("Market", market_name(rule.market)).line("Asks", rule.asks).line("When", rule.when);
  out.line("Counts for", narrowed(rule));
  out.line("Looks at", rule.check == maker_decides ? "nothing: you decide" : rule.check);
  out.line("Paper cites", join(rule.names, ", "));
  out.line("Keep", rule.keep_years ? count_of(*rule.keep_years, "year") : "");
  out.line("Languages", join(rule.languages, ", ")).line("Ask", rule.ask);
  out.line("Reviewed", now ? reviewed_words(rule, *now) : show(rule.reviewed));
  return out.line("Source", fmt::format("{} ({})", rule.source, standing_text(rule.standing)));
}

int show_rules(Call& call, const std::vector<Sheet>& sheets, const std::string& market) {
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const Sheet& sheet : sheets) {
    out.push(sheet.json);
    rows.push_back({sheet.id, sheet.name + (sheet.second.empty() ? "" : " (" + sheet.second + ")") +
                                  (sheet.aside.empty() ? "" : " (" + sheet.aside + ")")});
  }
  if (!call.json()) {
    call.say(market.empty() ? "Rules of every market that this program knows of."
                            : fmt::format("Rules of {}.", market_name(market)));
    call.table({"Rule", "Citation"}, rows);
    call.out() << '\n';
    call.say(
        "With a rule's key, more is shown: what it asks, when, and where to ask. They are listed, "
        "not judged, and laws change; local rules and the authority's word come first.");
  }
  return call.done(out);
}

// Before the book takes them: none may carry a key that is there already.
void refuse_known(Call& call, const OwnRules& own) {
  const std::vector<Rule> known = known_rules(call);
  for (const Rule& rule : own.rules) {
    const auto same = std::find_if(known.begin(), known.end(),
                                   [&](const Rule& other) { return other.key == rule.key; });
    if (same == known.end()) continue;
    const bool shipped = std::any_of(reference::rules().begin(), reference::rules().end(),
                                     [&](const Rule& other) { return other.key == rule.key; });
    throw Error::request(fmt::format("The rule '{}' is in {} already; give yours a key of its own.",
                                     rule.key, shipped ? "this program" : "the book"));
  }
}

// Woods of the maker's own may be named too, so only the book knows them all.
void refuse_unknown_woods(Call& call, const OwnRules& own) {
  for (const Rule& rule : own.rules)
    for (const std::string& id : rule.species)
      if (!find_species(call.book(), id))
        throw Error::request(
            fmt::format("{}: the rule '{}' names the wood '{}', which no table has.", own.file_name,
                        rule.key, id));
}

// The book would print them with its name on it.
void refuse_claims(const OwnRules& own) {
  for (const Rule& rule : own.rules)
    for (const std::string* text : {&rule.cite, &rule.asks, &rule.when, &rule.ask, &rule.source})
      for (const engine::Finding& claim :
           engine::claim_findings(*text, rule.key, engine::Result::stop, reference::never_said()))
        throw Error::request(
            fmt::format("{}: the rule '{}': {}", own.file_name, rule.key, claim.reason));
}

void refuse_ahead(const OwnRules& own, Day today) {
  for (const Rule& rule : own.rules)
    if (rule.reviewed > today)
      throw Error::request(
          fmt::format("{}: the rule '{}' was reviewed on {}, which is still to come.",
                      own.file_name, rule.key, show(rule.reviewed)));
}

}  // namespace

int rules(Call& call) {
  std::string what;
  call.word("MARKET|KEY", what,
            "a market (" + join(markets(), ", ") + ") or the key of a rule; all if left out");
  call.parse();
  const bool of_market =
      what == "any" || std::find(markets().begin(), markets().end(), what) != markets().end();
  const std::optional<Day> now =
      has_book(call) ? std::optional(today(call)) : std::optional(local_day(Moment{call.now(), 0}));
  const std::size_t shipped = reference::rules().size();
  std::vector<Sheet> sheets;
  std::size_t number = 0;
  for (const Rule& rule : known_rules(call)) {
    const bool own = number++ >= shipped;
    if (!of_market || rule.binds_in(what)) sheets.push_back(sheet_of(rule, own, now));
  }
  if (what.empty() || of_market) return show_rules(call, sheets, what);
  std::vector<std::string> known = markets();
  for (const Sheet& sheet : sheets) known.push_back(sheet.id);
  Call::check_known(what, "Market or rule", known, {{}, "'trencher rules' lists them"});
  return look_up(call, {"Market or rule", {"Rule", "Citation"}}, sheets, what);
}

int rule(Call& call) {
  call.choose("What to do", {"add"});
  std::string file;
  call.word("FILE", file, "rules in the form of schema/rules, see docs/rules.md");
  call.parse();
  call.need(file, "FILE", "File of rules");
  const InputFile read = read_input(file, most_rules_megabytes);
  OwnRules own;
  own.file_name = read.name;
  own.rules = reference::read_rules(read.bytes, read.name);
  refuse_claims(own);
  refuse_ahead(own, today(call));
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  refuse_known(call, own);
  refuse_unknown_woods(call, own);
  Json body = own.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("rules", body, stamp);
  writing.commit();
  std::vector<std::string> keys;
  for (const Rule& rule : own.rules) keys.push_back(rule.key);
  return call.wrote(entry, keys.front(), {},
                    fmt::format("{} from {}: {}; entry {}.",
                                count_of(static_cast<std::int64_t>(keys.size()), "rule"), read.name,
                                join(keys, ", "), entry));
}

}  // namespace trencher::commands
