#include "paper/wall_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "domain/error.h"
#include "paper/sheet.h"
#include "paper/wall_foot.h"
#include "paper/wall_grid.h"

namespace trencher::paper {
namespace {

// Millimetres.
constexpr double margin = unprintable + longest_overrun + 1;
constexpr double largest_title = 5.5;
constexpr double smallest_title = 2.6;
constexpr double before_made = 6;
constexpr double after_title = 2.2;
constexpr double weekday_capitals = 4.6;
constexpr double weekday_row = 6.4;
constexpr double gap = 3;  // above the foot, and above the list of what has no room
constexpr double rule_width = 0.4;

void check_days(const WallContent& chart) {
  const std::size_t days = chart.days.size();
  if (days == 0 || days % 7 != 0 || days > 42)
    throw Error::request(
        fmt::format("A wall chart of {} days cannot be drawn: it has 1 to 6 whole weeks.", days));
  constexpr int most = 30;
  for (const WallDay& day : chart.days)
    for (const WallMark& mark : day.marks)
      if (mark.kind == WallKind::coat &&
          (mark.coat < 1 || mark.coat > most || mark.coats > most || mark.coats < 0 ||
           (mark.coats > 0 && mark.coat > mark.coats)))
        throw Error::request(
            fmt::format("The wall chart cannot show coat {} of {} of \"{}\": coats count from 1 "
                        "to {}.",
                        mark.coat, mark.coats, mark.label, most));
}

class Chart {
 public:
  Chart(Document& document, const WallContent& chart, const Words& words)
      : document_(document),
        paper_{document, words, chart},
        hand_(document),
        width_(document.sheet().width - 2 * margin),
        foot_(paper_, width_) {
    prepare_title();
  }

  std::optional<WallGrid> fit_whole() const { return WallFitter(paper_, width_).fit_whole(room()); }

  void draw() {
    std::optional<WallGrid> grid = fit_whole();
    if (!grid)
      grid = WallFitter(paper_, width_)
                 .fit_part(room(),
                           {[this](std::size_t day, std::size_t mark) {
                              return foot_.rest_lines(day, mark);
                            },
                            [this](std::size_t lines) { return gap + foot_.rest_height(lines); }});
    document_.add_page();
    draw_title();
    const double grid_end = draw_grid(*grid);
    foot_.draw_rest(document_, hand_, {margin, grid_end + gap}, grid->shown);
    foot_.draw(document_, hand_, {margin, foot_top()});
  }

 private:
  double title_height() const { return static_cast<double>(title_.size()) * title_capitals_ * 1.4; }
  double grid_top() const { return margin + title_height() + after_title + weekday_row; }
  double foot_top() const { return document_.sheet().height - margin - foot_.height(); }
  double room() const { return foot_top() - gap - grid_top(); }

  Font title_font() const { return font_of_height(Face::bold, title_capitals_); }

  // One line in the largest type that fits, else several.
  void prepare_title() {
    const WallContent& chart = paper_.content;
    made_ = paper_.words("made", {{"made_on", chart.made_on}});
    const double room = width_ - before_made - document_.width(made_, made_font);
    if (room < width_ / 2) refuse_excess("The date of the wall chart", width_ / 2 - room, "wide");
    const std::string title =
        paper_.words("title", {{"workshop", chart.workshop}, {"span", chart.span}});
    while (title_capitals_ > smallest_title && document_.width(title, title_font()) > room)
      title_capitals_ -= 0.1;
    title_ = break_lines(document_, title, title_font(), room);
  }

  void draw_title() {
    double y = margin + title_capitals_;
    draw_right(document_, {margin + width_, y}, made_, made_font);
    for (const std::string& line : title_) {
      document_.text({margin, y}, line, title_font());
      y += title_capitals_ * 1.4;
    }
  }

  // Returns where it ends.
  double draw_grid(const WallGrid& grid) {
    double y = grid_top();
    draw_weekdays(grid, y);
    draw_rules(grid, y);
    for (std::size_t week = 0; week < grid.rows.size(); ++week) {
      double x = margin;
      for (std::size_t day = 0; day < 7; ++day) {
        const std::size_t index = week * 7 + day;
        const WallCell cell(paper_, index, grid.shown[index], grid.type, grid.columns[day]);
        cell.draw(document_, hand_, {x, y, grid.columns[day], grid.rows[week]});
        x += grid.columns[day];
      }
      y += grid.rows[week];
    }
    return y;
  }

  void draw_rules(const WallGrid& grid, double top) {
    const double bottom = std::accumulate(grid.rows.begin(), grid.rows.end(), top);
    double x = margin;
    for (std::size_t i = 0; i <= 7; ++i) {
      hand_.rule({x, top}, {x, bottom}, rule_width);
      if (i < 7) x += grid.columns[i];
    }
    double y = top;
    for (std::size_t i = 0; i <= grid.rows.size(); ++i) {
      hand_.rule({margin, y}, {margin + width_, y}, rule_width);
      if (i < grid.rows.size()) y += grid.rows[i];
    }
  }

  void draw_weekdays(const WallGrid& grid, double top) {
    double x = margin;
    for (std::size_t i = 0; i < 7; ++i) {
      const std::chrono::weekday day{std::chrono::sys_days(paper_.day(i))};
      draw_centred(document_, {x + grid.columns[i] / 2, top - (weekday_row - weekday_capitals)},
                   paper_.words("weekday-" + std::to_string(day.iso_encoding())),
                   font_of_height(Face::bold, weekday_capitals));
      x += grid.columns[i];
    }
  }

  inline static const Font made_font = font_of_height(Face::regular, 2.5);

  Document& document_;
  const WallPaper paper_;
  Hand hand_;
  double width_;
  WallFoot foot_;
  double title_capitals_ = largest_title;
  std::vector<std::string> title_;
  std::string made_;
};

// A document without a page, and what belongs to its drawing.
struct Sheet {
  Sheet(const WallContent& chart, const WallOptions& options)
      : words("wall-chart", options.language),
        document({options.sheet.height, options.sheet.width},
                 words("document", {{"span", chart.span}}), options.made_at) {}
  Words words;
  Document document;
};

}  // namespace

int weeks_that_fit(const WallContent& chart, const WallOptions& options) {
  check_days(chart);
  for (WallContent part = chart; !part.days.empty(); part.days.resize(part.days.size() - 7)) {
    Sheet sheet(part, options);
    if (Chart(sheet.document, part, sheet.words).fit_whole())
      return static_cast<int>(part.days.size() / 7);
  }
  return 0;
}

void write_wall_chart(const WallContent& chart, const WallOptions& options,
                      const std::filesystem::path& path) {
  check_days(chart);
  Sheet sheet(chart, options);
  Chart(sheet.document, chart, sheet.words).draw();
  sheet.document.save(path);
}

}  // namespace trencher::paper
