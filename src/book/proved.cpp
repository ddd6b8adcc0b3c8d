#include "book/proved.h"

#include <algorithm>
#include <set>

#include "book/kinds.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

bool is_hash(const std::string& text) {
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

// Whether the entry is in its form; what no hash proves must at least be that.
bool well_formed(const Entry& entry) {
  try {
    const Json body = parse_body(entry.body);
    facts_of(entry.kind, entry.kind_version, body);
    return is_hash(entry.hash) && body.canonical() == entry.body &&
           (!is_amendment(entry.kind) || body.integer("entry") < entry.number);
  } catch (const std::exception&) {
    return false;
  }
}

constexpr std::int64_t most_tries = 200'000;  // of rows whose own number is hurt

class Prover {
 public:
  // `believed`: the `rescued` entries that are kept, and so what they say of lost ones.
  Prover(const Salvage& found, bool with_unproved, const std::set<std::int64_t>& believed)
      : found_(found), with_unproved_(with_unproved) {
    for (const auto& [number, candidates] : found_.entries) {
      std::vector<const Entry*>& rows = rows_[number];
      for (const Entry& entry : candidates) {
        rows.push_back(&entry);
        if (believed.contains(number) && entry.kind == rescued_kind && well_formed(entry))
          out_.before.take(number, Rescued::read(parse_body(entry.body)));
      }
    }
    if (!found_.id.empty()) {
      previous_ = row_before_ = first_previous_hash(found_.id);
      sure_ = true;
    }
  }

  Kept run() {
    std::int64_t number = 1;
    for (; number <= last(); ++number) {
      const auto gap = out_.before.gaps.find(number);
      if (gap != out_.before.gaps.end()) {
        number = gap->second.last;
        previous_ = gap->second.hash.empty() ? std::nullopt : std::optional(gap->second.hash);
        sure_ = false;
      } else if (!keep(number) && !(sure_ && keep_renumbered(number))) {
        lose(number);
      }
    }
    out_.last = number - 1;
    return std::move(out_);
  }

 private:
  using Rows = std::vector<const Entry*>;
  const Rows& at(std::int64_t number) const {
    static const Rows none;
    const auto found = rows_.find(number);
    return found == rows_.end() ? none : found->second;
  }

  // The last number that an entry has or had. A row without neighbours far behind the others has a
  // number that is hurt.
  std::int64_t last() const {
    std::int64_t out = out_.entries.empty() ? 0 : out_.entries.back().number;
    if (found_.last && !used_.contains(*found_.last)) out = std::max(out, *found_.last);
    for (auto row = rows_.rbegin(); row != rows_.rend(); ++row)
      if (!row->second.empty()) {
        out = std::max(out, row->first);
        break;
      }
    return std::min(out, plausible());
  }
  std::int64_t plausible() const {
    return 2 * static_cast<std::int64_t>(rows_.size()) + 1000 + out_.before.last_lost;
  }

  bool follows(const std::string& hash, std::int64_t number) const {
    return std::any_of(at(number).begin(), at(number).end(),
                       [&](const Entry* entry) { return entry_hash(hash, *entry) == entry->hash; });
  }

  bool keep(std::int64_t number) {
    for (const Entry* entry : at(number)) {
      const auto before = out_.before.unproved.find(number);
      if (before != out_.before.unproved.end() && before->second == unproved_digest(*entry))
        return take(*entry, false);
      if (previous_ && entry_hash(*previous_, *entry) == entry->hash) return take(*entry, true);
      if (entry->kind == rescued_kind && entry_hash(row_before_, *entry) == entry->hash)
        return take(*entry, false);
    }
    if (sure_) return keep_rehashed(number);
    if (!previous_ && with_unproved_) return keep_unproved(number);
    return false;
  }

  // Only its hash is hurt: the hash that its bytes give is the one that the entry after goes by.
  bool keep_rehashed(std::int64_t number) {
    for (const Entry* found : at(number)) {
      Entry entry = *found;
      entry.hash = entry_hash(*previous_, entry);
      if (!follows(entry.hash, number + 1)) continue;
      out_.rehashed.push_back(number);
      return take(entry, true);
    }
    return false;
  }

  // Only its number is hurt, or was shifted: under its own its hash fits.
  bool keep_renumbered(std::int64_t number) {
    if (try_rows(number + 1, number)) return true;
    for (const auto& [other, rows] : rows_)
      if (other != number && tries_ < most_tries && try_rows(other, number)) return true;
    return false;
  }
  bool try_rows(std::int64_t other, std::int64_t number) {
    for (const Entry* found : at(other)) {
      ++tries_;
      Entry entry = *found;
      entry.number = number;
      if (used_.contains(other) || entry_hash(*previous_, entry) != entry.hash) continue;
      used_.insert(other);
      rows_[other].clear();
      return take(entry, true);
    }
    return false;
  }

  bool keep_unproved(std::int64_t number) {
    const Entry* best = nullptr;
    for (const Entry* entry : at(number))
      if (well_formed(*entry) && (!best || follows(entry->hash, number + 1))) best = entry;
    if (!best) return false;
    out_.unproved.push_back({number, unproved_digest(*best)});
    return take(*best, false);
  }

  bool take(const Entry& entry, bool by_previous) {
    if (by_previous && !out_.gaps.empty() && out_.gaps.back().last == entry.number - 1)
      out_.gaps.back().hash = *previous_;
    out_.entries.push_back(entry);
    previous_ = row_before_ = entry.hash;
    sure_ = true;
    return true;
  }

  void lose(std::int64_t number) {
    if (!out_.gaps.empty() && out_.gaps.back().last == number - 1)
      out_.gaps.back().last = number;
    else
      out_.gaps.push_back({number, number, {}});
    previous_.reset();
    sure_ = false;
    for (const Entry* entry : at(number))
      if (is_hash(entry->hash) && (!previous_ || follows(entry->hash, number + 1)))
        previous_ = entry->hash;
  }

  const Salvage& found_;
  const bool with_unproved_;
  std::map<std::int64_t, Rows> rows_;
  Kept out_;
  std::optional<std::string> previous_;  // the hash that the next entry goes by, where known
  bool sure_ = false;                    // it is of an entry that is kept, or of the book's id
  std::string row_before_;               // of the last entry that is kept
  std::set<std::int64_t> used_;          // numbers of rows that were kept under others
  std::int64_t tries_ = 0;
};

}  // namespace

Kept prove(const Salvage& found, bool with_unproved) {
  std::set<std::int64_t> believed;
  for (const auto& [number, candidates] : found.entries)
    for (const Entry& entry : candidates)
      if (entry.kind == rescued_kind) believed.insert(number);
  for (;;) {
    Kept out = Prover(found, with_unproved, believed).run();
    std::set<std::int64_t> kept;
    for (const Entry& entry : out.entries)
      if (entry.kind == rescued_kind) kept.insert(entry.number);
    // What is itself lost says nothing of others.
    if (std::includes(kept.begin(), kept.end(), believed.begin(), believed.end())) return out;
    std::erase_if(believed, [&](std::int64_t number) { return !kept.contains(number); });
  }
}

}  // namespace trencher::book
