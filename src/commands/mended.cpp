#include "commands/mended.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/amended.h"
#include "book/kinds.h"
#include "commands/describe.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// By the latest correction or strike of the entry.
std::optional<Mended> mended_entry(Call& call, const book::Effective& effective) {
  const auto by = effective.struck_by ? effective.struck_by : effective.corrected_by;
  if (!by) return {};
  const auto amendment = call.book().entry(*by);
  const Json body = Json::parse(amendment->body);
  return Mended{effective.entry.number,
                *by,
                effective.struck_by.has_value(),
                amendment->happened,
                describe(call, effective.entry.kind, Json::parse(effective.entry.body)),
                body.maybe_text("why").value_or("")};
}

bool lies_on(const book::Effective& effective, int piece) {
  return book::is_step(effective.entry.kind) &&
         !Step::read(effective.entry.kind, effective.body).drawn.empty() &&
         names_piece(Step::read(effective.entry.kind, effective.body).pieces, piece);
}

}  // namespace

std::vector<Mended> mended(Call& call, const BatchRecord& view, int piece,
                           const std::set<std::int64_t>& entries) {
  std::vector<Mended> out;
  const auto add = [&](const book::Effective& effective) {
    auto found = mended_entry(call, effective);
    if (!found) return;
    if (std::none_of(out.begin(), out.end(),
                     [&](const Mended& known) { return known.entry == found->entry; }))
      out.push_back(std::move(*found));
  };
  for (const std::int64_t entry : entries)
    if (book::is_amended(call.book(), entry))
      if (const auto effective = book::effective_entry(call.book(), entry)) add(*effective);
  for (const book::Effective& effective : book::struck_of(call.book(), view.batch().code))
    if (lies_on(effective, piece)) add(effective);
  for (const auto& [id, tin] : view.facts.work.tins)
    for (const std::string& subject : {id, tin.product})
      if (!subject.empty())
        for (const book::Effective& effective : book::struck_of(call.book(), subject))
          if (effective.entry.kind == "statement") add(effective);
  std::sort(out.begin(), out.end(),
            [](const Mended& a, const Mended& b) { return a.entry < b.entry; });
  return out;
}

std::string mended_words(const Mended& mended) {
  return fmt::format("Entry {} was {} by entry {} on {}{}. It said: {}.", mended.entry,
                     mended.struck ? "struck" : "corrected", mended.by, show(local_day(mended.on)),
                     mended.why.empty() ? "" : ": " + mended.why, mended.said);
}

}  // namespace trencher::commands
