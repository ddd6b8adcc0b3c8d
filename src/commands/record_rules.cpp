#include "commands/record_rules.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/cautions.h"
#include "commands/markets.h"
#include "commands/rulebook.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::vector<std::string> markets_of(Call& call, const BatchView& view) {
  std::vector<std::string> out = call.settings().markets;
  for (const Gift& gift : view.gifts)
    if (std::find(out.begin(), out.end(), gift.market) == out.end()) out.push_back(gift.market);
  return out;
}

paper::RecordRule row_of(const Rule& rule, Day now) {
  paper::RecordRule out;
  out.key = rule.key;
  out.market = market_name(rule.market);
  out.cite = rule.cite;
  if (reviewed_long_ago(rule, now)) out.reviewed = reviewed_words(rule, now);
  return out;
}

// Coats and the like whose rags can heat, and which of them nobody confirmed.
std::string rags_of(const BatchView& view) {
  std::vector<std::string> all, open;
  for (const Step& step : view.facts.work.steps)
    if (step.rags) all.push_back(std::to_string(step.entry));
  for (const std::int64_t entry : view.facts.open_rags) open.push_back(std::to_string(entry));
  if (all.empty()) return "";
  return fmt::format(
      " Here: entries {}; {}.", join(all, ", "),
      open.empty() ? "all confirmed as dealt with" : "NOT confirmed: entries " + join(open, ", "));
}

}  // namespace

void lay_rules(Call& call, const BatchView& view, paper::RecordContent& record) {
  for (const std::string& market : markets_of(call, view)) {
    const std::vector<engine::Finding> found =
        market_findings_of(call, view, leaving_for(call, view, market, "", false));
    for (const Rule& rule : rules_for(call, market)) {
      paper::RecordRule row = row_of(rule, today(call));
      for (const engine::Finding& finding : found)
        if (finding.rule == rule.key)
          row.held.push_back({finding.about == view.batch().code ? "" : finding.about,
                              std::string(engine::to_string(finding.result)), with_entries(finding),
                              finding.result != engine::Result::held});
      const bool told = std::any_of(record.rules.begin(), record.rules.end(),
                                    [&](const auto& other) { return other.key == rule.key; });
      if (row.held.empty() || told) continue;
      // What to ask, and whom, belongs where something is open.
      if (std::any_of(row.held.begin(), row.held.end(), [](const auto& one) { return one.open; })) {
        row.asks = rule.asks;
        row.ask = rule.ask;
      }
      record.rules.push_back(std::move(row));
    }
  }
}

void lay_cautions(Call& call, const BatchView& view, paper::RecordContent& record) {
  const std::string rags = rags_of(view);
  for (const Caution& caution : work_cautions(view))
    record.cautions.push_back({caution.text + (caution.rags ? rags : ""), caution.source});
  if (const auto photograph = book::photograph_of(call.book(), view.batch().code))
    record.photograph = call.book().file(photograph->file_sha256).value_or("");
}

}  // namespace trencher::commands
