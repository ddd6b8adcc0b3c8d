#include "paper/wall_grid.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "domain/error.h"

namespace trencher::paper {
namespace {

// Capitals of 7 mm are the least to be read across a shop; a little more, since print is uneven.
// Larger labels have larger words, as far as they fit.
constexpr WallType types[] = {{8.6, 3.3}, {7.8, 3}, {7.2, 2.7}, {7.2, 2.5}};
constexpr WallType smallest = types[3];

constexpr int steps_in_all = 140;  // of about 2 mm
constexpr int narrowest = 9;
constexpr double too_wide = 1000;  // mm of height that a millimetre too wide counts for

std::array<int, 7> equal_columns() {
  std::array<int, 7> columns{};
  columns.fill(steps_in_all / 7);
  return columns;
}

}  // namespace

WallFitter::WallFitter(const WallPaper& paper, double width)
    : paper_(paper), width_(width), weeks_(paper.content.days.size() / 7) {
  for (const WallDay& day : paper.content.days) all_.push_back(day.marks.size());
}

std::optional<WallGrid> WallFitter::fit_whole(double height) {
  for (const bool searching : {false, true})
    for (const WallType& type : types) {
      use(type);
      const Columns columns = searching ? search(equal_columns(), all_) : equal_columns();
      if (total(columns, all_) <= height) return made(columns, all_, height);
    }
  return std::nullopt;
}

// What is shown depends on the columns, and the best columns on what is shown: taken in turn.
WallGrid WallFitter::fit_part(double height, const RestBox& box) {
  use(smallest);
  std::optional<Part> best;
  Columns columns = search(equal_columns(), all_);
  check_widths(columns);
  constexpr int turns = 4;
  for (int turn = 0; turn < turns; ++turn) {
    const std::optional<Part> part = best_part(columns, height, box);
    if (part && (!best || part->lines < best->lines)) best = part;
    columns = search(columns, part ? part->shown : Shown(all_.size(), 0));
  }
  if (!best) refuse();
  return made(best->columns, best->shown, height - box.height(best->lines));
}

void WallFitter::use(const WallType& type) {
  type_ = type;
  needs_.clear();
}

double WallFitter::column_width(int steps) const { return width_ * steps / steps_in_all; }

const WallFitter::Need& WallFitter::need(std::size_t day, std::size_t shown, int steps) {
  const auto [place, fresh] = needs_.try_emplace({day, shown, steps});
  if (fresh) {
    const WallCell cell(paper_, day, shown, type_, column_width(steps));
    place->second = {cell.height(), cell.excess()};
  }
  return place->second;
}

double WallFitter::row_need(std::size_t week, const Columns& columns, const Shown& shown) {
  double height = 0;
  double excess = 0;  // of all, so that each day with more room is a gain
  for (std::size_t i = 0; i < 7; ++i) {
    const Need& here = need(week * 7 + i, shown[week * 7 + i], columns[i]);
    height = std::max(height, here.height);
    excess += here.excess;
  }
  return height + excess * too_wide;
}

double WallFitter::total(const Columns& columns, const Shown& shown) {
  double sum = 0;
  for (std::size_t week = 0; week < weeks_; ++week) sum += row_need(week, columns, shown);
  return sum;
}

// Takes width from one column for another for as long as the whole becomes lower.
WallFitter::Columns WallFitter::search(Columns columns, const Shown& shown) {
  for (bool better = true; better;) {
    better = false;
    Columns best = columns;
    double least = total(columns, shown) - 0.01;
    for (std::size_t from = 0; from < 7; ++from)
      for (std::size_t to = 0; to < 7; ++to)
        for (const int steps : {1, 2, 4, 8}) {
          if (from == to || columns[from] - steps < narrowest) continue;
          Columns tried = columns;
          tried[from] -= steps;
          tried[to] += steps;
          if (const double sum = total(tried, shown); sum < least) {
            least = sum;
            best = tried;
            better = true;
          }
        }
    columns = best;
  }
  return columns;
}

void WallFitter::check_widths(const Columns& columns) {
  const auto excess = [&](std::size_t day) {
    return need(day, all_[day], columns[day % 7]).excess;
  };
  std::size_t widest = 0;
  for (std::size_t day = 0; day < all_.size(); ++day)
    if (excess(day) > excess(widest)) widest = day;
  if (excess(widest) <= 0) return;
  const WallCell cell(paper_, widest, all_[widest], type_, column_width(columns[widest % 7]));
  refuse_excess(fmt::format("\"{}\" on {} of the wall chart", cell.widest(),
                            date_name(paper_.words, paper_.day(widest))),
                cell.excess(), "wide");
}

// A row of at most that height, with as many marks as fit into it.
std::optional<WallFitter::RowChoice> WallFitter::row_of(std::size_t week, const Columns& columns,
                                                        double most, const RestBox& box) {
  RowChoice row;
  for (std::size_t i = 0; i < 7; ++i) {
    const std::size_t day = week * 7 + i;
    const auto height = [&](std::size_t shown) {
      const Need& here = need(day, shown, columns[i]);
      return here.height + here.excess * too_wide;
    };
    std::size_t shown = all_[day];
    while (shown > 0 && height(shown) > most) --shown;
    if (height(shown) > most) return std::nullopt;
    row.height = std::max(row.height, height(shown));
    row.shown[i] = shown;
    for (std::size_t mark = shown; mark < all_[day]; ++mark) row.lines += box.lines(day, mark);
  }
  return row;
}

// Only heights at which some day is full are worth a try.
std::vector<WallFitter::RowChoice> WallFitter::row_choices(std::size_t week, const Columns& columns,
                                                           const RestBox& box) {
  std::vector<RowChoice> choices;
  for (std::size_t i = 0; i < 7; ++i)
    for (std::size_t shown = 0; shown <= all_[week * 7 + i]; ++shown)
      if (const auto row = row_of(week, columns, need(week * 7 + i, shown, columns[i]).height, box))
        choices.push_back(*row);
  return choices;
}

// The fewest lines in the box with which all fits: week by week, the least height for each number
// of lines.
std::optional<WallFitter::Part> WallFitter::best_part(const Columns& columns, double height,
                                                      const RestBox& box) {
  std::map<std::size_t, Part> parts = {{0, {columns, {}, 0, 0}}};  // by lines
  for (std::size_t week = 0; week < weeks_; ++week) {
    std::map<std::size_t, Part> longer;
    for (const RowChoice& row : row_choices(week, columns, box))
      for (const auto& [lines, part] : parts) {
        const double sum = part.height + row.height;
        const auto known = longer.find(lines + row.lines);
        if (known != longer.end() && known->second.height <= sum) continue;
        Part next = part;
        next.lines += row.lines;
        next.height = sum;
        next.shown.insert(next.shown.end(), row.shown.begin(), row.shown.end());
        longer[next.lines] = next;
      }
    parts = std::move(longer);
  }
  for (const auto& [lines, part] : parts)
    if (part.height + box.height(lines) <= height) return part;
  return std::nullopt;
}

void WallFitter::refuse() const {
  const std::size_t fullest =
      static_cast<std::size_t>(std::max_element(all_.begin(), all_.end()) - all_.begin());
  throw Error::request(fmt::format(
      "The wall chart does not fit one sheet: there is too much to do in {} week{}, above all on "
      "{} ({} marks). Draw fewer weeks.",
      weeks_, weeks_ == 1 ? "" : "s", date_name(paper_.words, paper_.day(fullest)), all_[fullest]));
}

// What height is left goes to the lowest rows first.
WallGrid WallFitter::made(const Columns& columns, const Shown& shown, double height) {
  WallGrid grid{type_, {}, {}, shown};
  for (std::size_t i = 0; i < 7; ++i) grid.columns[i] = column_width(columns[i]);
  for (std::size_t week = 0; week < weeks_; ++week)
    grid.rows.push_back(row_need(week, columns, shown));
  std::vector<double> sorted = grid.rows;
  std::sort(sorted.begin(), sorted.end());
  // The level to which the lowest rows can be raised together.
  double level = 0;
  for (std::size_t n = 1; n <= sorted.size(); ++n) {
    const double others =
        std::accumulate(sorted.begin() + static_cast<std::ptrdiff_t>(n), sorted.end(), 0.0);
    level = (height - others) / static_cast<double>(n);
    if (n == sorted.size() || level <= sorted[n]) break;
  }
  for (double& row : grid.rows) row = std::max(row, level);
  return grid;
}

}  // namespace trencher::paper
