#include <algorithm>
#include <set>

#include "reference/reference.h"
#include "reference/tables.h"
#include "reference/toml_reader.h"

namespace trencher::reference {
namespace {

const std::vector<std::string> rule_markets{"us", "us-ca", "eu", "de", "uk", "ca", "anz", "any"};

// Each of the words under a key must be among those allowed.
std::vector<std::string> choices(const TomlReader& reader, std::string_view key,
                                 const std::vector<std::string>& allowed) {
  std::vector<std::string> out = reader.array<std::string>(key, "words");
  for (const std::string& word : out)
    if (std::find(allowed.begin(), allowed.end(), word) == allowed.end())
      reader.refuse(reader.line_of(key), key,
                    "holds '" + word + "', which is none of " + join(allowed, ", "));
  return out;
}

template <typename Kinds>
std::vector<std::string> ids_of(const Kinds& kinds) {
  std::vector<std::string> out;
  for (const auto& kind : kinds) out.push_back(kind.id);
  return out;
}

void read_when(const TomlReader& reader, Rule& out) {
  out.use =
      choices(reader, "use", {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"});
  out.leaving = choices(reader, "leaving", {"gift", "sale", "private-gift"});
  out.food_business = reader.maybe_flag("food_business");
  out.species = reader.array<std::string>("species", "ids of woods");
  out.finish = choices(reader, "finish", ids_of(finishes()));
  out.glue = choices(reader, "glue", ids_of(glues()));
}

void read_check(const TomlReader& reader, Rule& out) {
  std::vector<std::string> known(rule_checks.begin(), rule_checks.end());
  known.emplace_back(maker_decides);
  out.check = reader.choice("check", known);
  out.names = reader.array<std::string>("names", "texts");
  out.keep_years = reader.whole("keep_years", 100);
  out.languages = choices(reader, "languages", {"en", "de", "fr", "es"});
  const auto belongs = [&](std::string_view key, bool there, std::string_view check) {
    if (there != (out.check == check))
      reader.refuse(reader.line_of(key), key,
                    "belongs to the check " + std::string(check) + ", and to no other");
  };
  belongs("names", !out.names.empty(), "paper-names");
  belongs("keep_years", out.keep_years.has_value(), "records-kept");
  if (!out.languages.empty()) belongs("languages", true, "card-language");
}

// The market, a hyphen, and words of a-z and 0-9 with a hyphen between.
std::string read_key(const TomlReader& reader, const std::string& market) {
  std::string key = reader.text("key");
  const auto demand = [&](bool held, const std::string& what) {
    if (!held) reader.refuse(reader.line_of("key"), "key", what);
  };
  demand(key.starts_with(market + "-"), "must begin with '" + market + "-'");
  const bool plain = std::all_of(key.begin(), key.end(), [](char c) {
    return c == '-' || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
  });
  demand(plain && !key.ends_with('-') && key.find("--") == std::string::npos,
         "must be of a-z, 0-9 and single hyphens between them");
  for (const std::string& other : rule_markets)
    demand(!other.starts_with(market + "-") || !key.starts_with(other + "-"),
           "begins as the rules of the market '" + other + "' do");
  return key;
}

Rule read_rule(const toml::table& table, std::string_view file, const std::string& market) {
  const TomlReader reader(table, file, "a rule",
                          {"key", "cite", "asks", "when", "use", "leaving", "food_business",
                           "species", "finish", "glue", "check", "names", "keep_years", "languages",
                           "ask", "reviewed", "source", "standing"});
  Rule out;
  out.market = market;
  out.key = read_key(reader, market);
  out.cite = reader.text("cite");
  out.asks = reader.text("asks");
  out.when = reader.text("when");
  read_when(reader, out);
  read_check(reader, out);
  out.ask = reader.text("ask");
  const auto reviewed = day_from_iso(reader.text("reviewed"));
  if (!reviewed) reader.refuse(reader.line_of("reviewed"), "reviewed", "must be a day: 2026-11-25");
  out.reviewed = *reviewed;
  out.source = reader.text("source");
  out.standing = reader.choice("standing", {"read", "memory", "read in part"});
  return out;
}

}  // namespace

std::vector<Rule> read_rules(std::string_view text, std::string_view file) {
  const toml::table table = parse_toml(text, file);
  const TomlReader reader(table, file, "a file of rules", {"market", "rule"});
  const std::string market = reader.choice("market", rule_markets);
  std::vector<Rule> out;
  std::set<std::string> keys;
  for (const toml::table* rule : reader.tables("rule")) {
    out.push_back(read_rule(*rule, file, market));
    if (!keys.insert(out.back().key).second)
      reader.refuse(rule->source().begin.line, out.back().key, "stands twice");
  }
  return out;
}

}  // namespace trencher::reference
