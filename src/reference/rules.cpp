#include <algorithm>
#include <set>

#include "reference/tables.h"
#include "reference/toml_reader.h"

namespace trencher::reference {
namespace {

Rule read_rule(const toml::table& table, std::string_view file, const std::string& market) {
  const TomlReader reader(
      table, file, "a rule",
      {"key", "cite", "asks", "when", "check", "ask", "reviewed", "source", "standing"});
  Rule out;
  out.market = market;
  out.key = reader.text("key");
  if (!out.key.starts_with(market + "-"))
    reader.refuse(reader.line_of("key"), "key", "must begin with '" + market + "-'");
  out.cite = reader.text("cite");
  out.asks = reader.text("asks");
  out.when = reader.text("when");
  out.check = reader.choice("check", {"accident-report", "recall-notice"});
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
  const std::string market =
      reader.choice("market", {"us", "us-ca", "eu", "de", "uk", "ca", "anz"});
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
