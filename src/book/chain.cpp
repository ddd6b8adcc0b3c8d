#include "book/chain.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/sql.h"

namespace trencher::book {

void Rescues::take(std::int64_t number, const Rescued& said) {
  for (const Gap& gap : said.gaps) {
    gaps[gap.first] = gap;
    last_lost = std::max(last_lost, gap.last);
  }
  for (const Rescued::Unproved& one : said.unproved) unproved[one.entry] = one.digest;
  for (const Rescued::Lost& one : said.lost) lost[one.id] = one;
  persons.insert(said.persons.begin(), said.persons.end());
  files.insert(said.files.begin(), said.files.end());
  if (said.open_end) last_lost = std::max(last_lost, number);
  open_end = open_end || said.open_end;
  entry = number;
}

bool Rescues::is_lost(std::int64_t number) const {
  return std::any_of(gaps.begin(), gaps.end(), [&](const auto& gap) {
    return gap.second.first <= number && number <= gap.second.last;
  });
}

Rescues rescues(Sql& sql) {
  Rescues out;
  sql.each(
      "SELECT number, body FROM main.entry WHERE kind = ? ORDER BY number",
      [&](const Row& row) { out.take(row.number(0), Rescued::read(parse_body(row.text(1)))); },
      rescued_kind);
  return out;
}

std::string unproved_digest(const Entry& entry) { return entry_hash("", entry); }

Chain::Chain(std::string first_previous, Rescues rescues)
    : rescues_(std::move(rescues)), previous_(first_previous), expected_(first_previous) {}

std::string Chain::broken(std::int64_t at, std::string how) {
  if (!broken_at_) broken_at_ = at;
  return how;
}

std::optional<std::string> Chain::next(const Entry& entry, const Hashed& known) {
  std::optional<std::string> how;
  std::int64_t awaited = last_ + 1;
  while (awaited < entry.number) {
    const auto gap = rescues_.gaps.find(awaited);
    if (gap == rescues_.gaps.end() || gap->second.last < awaited) break;
    awaited = gap->second.last + 1;
    expected_ = gap->second.hash.empty() ? std::nullopt : std::optional(gap->second.hash);
  }
  // A rescue writes its entry behind the last that it found.
  if (entry.kind == rescued_kind && !(awaited == entry.number && awaited > last_ + 1 && expected_))
    expected_ = previous_;
  const auto found_so = rescues_.unproved.find(entry.number);
  if (awaited != entry.number) {
    how = broken(std::min(awaited, entry.number), "is missing");
  } else if (found_so != rescues_.unproved.end()) {
    if (found_so->second != unproved_digest(entry))
      how = broken(entry.number, "was altered after it had been rescued");
  } else if (!expected_ || (known.previous == *expected_ && !known.hash.empty()
                                ? known.hash
                                : entry_hash(*expected_, entry)) != entry.hash) {
    how = broken(entry.number, "or its hash was altered");
  }
  skip(entry.number, entry.hash);
  return how;
}

void Chain::skip(std::int64_t number, const std::string& hash) {
  last_ = number;
  previous_ = hash;
  expected_ = hash;
}

}  // namespace trencher::book
