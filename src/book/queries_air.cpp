#include <algorithm>

#include "book/book.h"
#include "book/queries.h"
#include "book/sql.h"

namespace trencher::book {
namespace {

bool earlier(const Reading& reading, Instant at) { return reading.at < at; }
bool has_rh(const Reading& reading) { return reading.rh.has_value(); }

// What was read or noted at a place, gathered from a window outwards.
class Air {
 public:
  Air(const Book& book, std::string_view place) : book_(book), place_(place) {}

  void within(std::int64_t first, std::int64_t last) {
    for (const Span& span : spans("first_s <= ?3 AND last_s >= ?2", first, last)) take(span);
    for (const int noted_rh : {0, 1})
      note("has_rh = ? AND at_s BETWEEN ? AND ?", noted_rh, first, last);
  }

  // On to the nearest, and on until a humidity stands that no later entry for its moment takes
  // away: humidity is followed apart from the temperature.
  void outwards(std::int64_t edge, bool back) {
    const auto outside = spans(back ? "last_s < ?2 ORDER BY last_s DESC, entry DESC"
                                    : "first_s > ?2 ORDER BY first_s, entry",
                               edge);
    note(back ? "has_rh = 0 AND at_s < ? ORDER BY at_s DESC LIMIT 1"
              : "has_rh = 0 AND at_s > ? ORDER BY at_s LIMIT 1",
         edge);
    auto next = outside.begin();
    std::optional<std::int64_t> noted = next_noted(edge, back), looked_at;
    for (;;) {
      const auto humid = nearest_humid(edge, back);
      const auto as_near = [&](std::int64_t at) {
        return !humid || (back ? at >= *humid : at <= *humid);
      };
      if (next != outside.end() && as_near(back ? next->last : next->first)) {
        take(*next++);
      } else if (noted && as_near(*noted)) {
        note("has_rh = 1 AND at_s = ?", *noted);
        noted = next_noted(*noted, back);
      } else if (humid != looked_at) {
        note("has_rh = 0 AND at_s = ?", *humid);
        looked_at = humid;
      } else {
        return;
      }
    }
  }

  // By time, one a moment.
  const std::vector<Reading>& settled() {
    if (settled_) return readings_;
    std::stable_sort(readings_.begin(), readings_.end(), [](const Reading& a, const Reading& b) {
      return a.at != b.at ? a.at < b.at : a.entry < b.entry;
    });
    // Of several for one moment the last entered counts.
    const auto end = std::unique(readings_.rbegin(), readings_.rend(),
                                 [](const Reading& a, const Reading& b) { return a.at == b.at; });
    readings_.erase(readings_.begin(), end.base());
    settled_ = true;
    return readings_;
  }

 private:
  struct Span {
    std::int64_t entry, first, last;
  };

  std::vector<Span> spans(const std::string& condition, const auto&... values) const {
    std::vector<Span> out;
    book_.sql().each(
        "SELECT entry, first_s, last_s FROM readings_span WHERE place = ?1 AND " + condition,
        [&](const Row& row) {
          out.push_back({row.number(0), row.number(1), row.number(2)});
        },
        place_, values...);
    return out;
  }

  void take(const Span& span) {
    const auto effective = effective_entry(book_, span.entry);
    const Readings read = Readings::read(span.entry, effective->body);
    readings_.insert(readings_.end(), read.samples.begin(), read.samples.end());
    settled_ = false;
  }

  // Steps at the place whose temperature was noted.
  void note(const std::string& condition, const auto&... values) {
    book_.sql().each(
        "SELECT entry, at_s, temp_milli, rh_permille FROM noted_air WHERE place = ? AND " +
            condition,
        [&](const Row& row) {
          const auto rh = row.maybe_number(3);
          readings_.push_back({row.number(0), Instant(Seconds(row.number(1))),
                               Celsius{row.number(2)},
                               rh ? std::optional(Percent{*rh}) : std::nullopt});
          settled_ = false;
        },
        place_, values...);
  }

  std::optional<std::int64_t> next_noted(std::int64_t edge, bool back) const {
    std::optional<std::int64_t> out;
    book_.sql().each(
        std::string("SELECT at_s FROM noted_air WHERE place = ? AND has_rh = 1 AND at_s ") +
            (back ? "< ? ORDER BY at_s DESC LIMIT 1" : "> ? ORDER BY at_s LIMIT 1"),
        [&](const Row& row) { out = row.number(0); }, place_, edge);
    return out;
  }

  std::optional<std::int64_t> nearest_humid(std::int64_t edge, bool back) {
    const std::vector<Reading>& all = settled();
    const auto after = std::lower_bound(all.begin(), all.end(), Instant(Seconds(edge)), earlier);
    if (!back) {
      const auto humid = std::find_if(after, all.end(), has_rh);
      return humid == all.end() ? std::nullopt : moment(*humid);
    }
    const bool at_edge = after != all.end() && moment(*after) == edge;
    const auto humid =
        std::find_if(std::make_reverse_iterator(after + (at_edge ? 1 : 0)), all.rend(), has_rh);
    return humid == all.rend() ? std::nullopt : moment(*humid);
  }

  static std::optional<std::int64_t> moment(const Reading& reading) {
    return reading.at.time_since_epoch().count();
  }

  const Book& book_;
  std::string place_;
  std::vector<Reading> readings_;
  bool settled_ = true;
};

}  // namespace

std::vector<Reading> readings_at(const Book& book, std::string_view place, Instant from,
                                 Instant to) {
  const std::int64_t first = from.time_since_epoch().count(), last = to.time_since_epoch().count();
  Air air(book, place);
  air.within(first, last);
  air.outwards(first, true);
  air.outwards(last, false);
  std::vector<Reading> out = air.settled();
  const auto later = std::lower_bound(out.begin(), out.end(), to, earlier);
  if (later != out.end()) {
    const auto with_rh = std::find_if(later, out.end(), has_rh);
    out.erase(with_rh == out.end() ? later + 1 : with_rh + 1, out.end());
  }
  const auto inside = std::upper_bound(out.begin(), out.end(), from,
                                       [](Instant at, const Reading& r) { return at < r.at; });
  if (inside != out.begin()) {
    const auto with_rh = std::find_if(std::make_reverse_iterator(inside), out.rend(), has_rh);
    out.erase(out.begin(), with_rh == out.rend() ? inside - 1 : with_rh.base() - 1);
  }
  return out;
}

}  // namespace trencher::book
