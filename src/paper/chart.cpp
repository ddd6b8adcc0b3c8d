#include "paper/chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/error.h"
#include "paper/scale.h"
#include "paper/text.h"

namespace trencher::paper {
namespace {

// Millimetres.
constexpr double axis_column = 11;  // left of the panels, for the values
constexpr double panel_heights[] = {24, 24, 38};
constexpr double caption = 4.5;    // above each panel
constexpr double label_row = 3.4;  // for the names of steps
constexpr double tick_row = 4.5;   // under the last panel
constexpr double legend_row = 5;

constexpr Font small{Face::regular, 6.5};
constexpr Font small_bold{Face::bold, 6.5};
const Stroke frame_line{0.2, 0, {}};
const Stroke grid_line{0.1, 0.7, {}};
const Stroke step_line{0.2, 0.25, {0.4, 0.8}};
const Stroke now_line{0.35, 0, {}};
const std::vector<double> guessed_dash = {1.1, 1.1};
constexpr double guessed_grey = 0.92;

struct PlacedLabel {
  ChartMark mark;
  bool now = false;
  double x = 0;  // middle of the text
  int row = 0;   // 0 nearest to the panels
};

class Chart {
 public:
  Chart(const Document& document, const ChartContent& chart, const Words& words, double width)
      : measure_(document), chart_(chart), words_(words), plot_width_(width - axis_column) {
    if (!(chart.length_hours > 0))
      throw Error::request("A chart of conditions needs a stretch of time longer than nothing.");
    check_all();
    place_labels();
  }

  double height() const {
    double sum = rows_ * label_row + tick_row + legend_row;
    for (const double panel : panel_heights) sum += caption + panel;
    return sum;
  }

  void draw(Document& document, Point top_left) {
    document_ = &document;
    left_ = top_left.x + axis_column;
    const double panels_top = top_left.y + rows_ * label_row;
    Rect panel{left_, panels_top, plot_width_, 0};
    const Scale degrees = scale_of(chart_.temperature);
    const Scale percent = scale_of(chart_.humidity);
    const Scale share{0, 1, 0.5};

    next(panel, 0, words_("temperature", {{"unit", chart_.temperature_unit}}));
    draw_panel(panel, degrees, 1);
    draw_condition(panel, degrees, chart_.temperature);
    next(panel, 1, words_("humidity"));
    draw_panel(panel, percent, 1);
    draw_condition(panel, percent, chart_.humidity);
    next(panel, 2, words_("cure"));
    draw_panel(panel, share, 100);
    draw_cure(panel, share);

    const double bottom = panel.y + panel.height;
    draw_labels(panels_top, bottom);
    draw_names(panel, share);
    draw_days(bottom);
    draw_legend(bottom + tick_row + legend_row - 1);
  }

 private:
  double x(double hours) const { return left_ + hours / chart_.length_hours * plot_width_; }

  // What lies outside the axis would be drawn over the page, or left out unseen.
  void check(double hours, double value, const std::string& name) const {
    constexpr double rounding = 1e-6;
    if (!(hours >= -rounding && hours <= chart_.length_hours + rounding))
      throw Error::request(
          fmt::format("The chart of conditions cannot show \"{}\" at {:g} h: its "
                      "axis runs from 0 to {:g} h.",
                      name, hours, chart_.length_hours));
    if (!std::isfinite(value))
      throw Error::request(
          fmt::format("The chart of conditions has no number for \"{}\" at {:g} h.", name, hours));
  }

  void check_all() const {
    for (const auto* marks : {&chart_.days, &chart_.steps})
      for (const ChartMark& mark : *marks) check(mark.hours, 0, mark.label);
    if (chart_.now_hours) check(*chart_.now_hours, 0, words_("now"));
    std::vector<const ChartLine*> lines = {&chart_.temperature, &chart_.humidity};
    for (const ChartLine& line : chart_.cure) lines.push_back(&line);
    for (const ChartLine* line : lines)
      for (const ChartStretch& stretch : line->stretches)
        for (const ChartPoint& point : stretch.points) check(point.hours, point.value, line->label);
  }

  // The rows of labels grow upwards; each label goes into the lowest row where it touches no other.
  void place_labels() {
    for (const ChartMark& mark : chart_.steps) labels_.push_back({mark, false, 0, 0});
    if (chart_.now_hours) labels_.push_back({{*chart_.now_hours, words_("now")}, true, 0, 0});
    std::stable_sort(labels_.begin(), labels_.end(),
                     [](const auto& a, const auto& b) { return a.mark.hours < b.mark.hours; });
    std::vector<double> ends;  // right end of each row
    for (PlacedLabel& label : labels_) {
      const double width = measure_.width(label.mark.label, small);
      if (width > plot_width_)
        refuse_excess("The label \"" + label.mark.label + "\" of the chart", width - plot_width_,
                      "wide");
      const double wish = label.mark.hours / chart_.length_hours * plot_width_;
      label.x = std::clamp(wish, width / 2, plot_width_ - width / 2);
      std::size_t row = 0;
      while (row < ends.size() && ends[row] > label.x - width / 2 - 1.5) ++row;
      if (row == ends.size()) ends.push_back(0);
      ends[row] = label.x + width / 2;
      label.row = static_cast<int>(row);
    }
    rows_ = static_cast<int>(ends.size());
  }

  void next(Rect& panel, int number, const std::string& name) {
    panel.y += panel.height + caption;
    panel.height = panel_heights[number];
    captions_.push_back({{panel.x, panel.y - 1.2}, name});
  }

  static Scale scale_of(const ChartLine& line) {
    double low = 0, high = 0;
    bool first = true;
    for (const ChartStretch& stretch : line.stretches)
      for (const ChartPoint& point : stretch.points) {
        low = first ? point.value : std::min(low, point.value);
        high = first ? point.value : std::max(high, point.value);
        first = false;
      }
    return round_scale(low, high, 5);
  }

  double y(const Rect& panel, const Scale& scale, double value) const {
    return panel.y + panel.height * (1 - std::clamp(scale.position(value), 0.0, 1.0));
  }

  // Grid and the numbers beside it, multiplied by `shown`.
  void draw_panel(const Rect& panel, const Scale& scale, double shown) {
    for (const double tick : scale.ticks()) {
      const double at = y(panel, scale, tick);
      document_->line({panel.x, at}, {panel.x + panel.width, at}, grid_line);
      draw_right(*document_, {panel.x - 1.5, at + 0.8}, fmt::format("{:g}", tick * shown), small);
    }
  }

  void draw_stretches(const Rect& panel, const Scale& scale, const ChartLine& line, Stroke stroke) {
    for (const ChartStretch& stretch : line.stretches) {
      std::vector<Point> points;
      for (const ChartPoint& point : stretch.points)
        points.push_back({x(point.hours), y(panel, scale, point.value)});
      stroke.dash = stretch.guessed ? guessed_dash : std::vector<double>{};
      document_->polyline(points, stroke);
    }
  }

  void draw_condition(const Rect& panel, const Scale& scale, const ChartLine& line) {
    if (line.stretches.empty())
      draw_centred(*document_, {panel.x + panel.width / 2, panel.y + panel.height / 2},
                   words_("no-values"), small);
    const std::string name = words_("guessed-stretch");
    const double name_width = measure_.width(name, small);
    for (const ChartStretch& stretch : line.stretches) {
      if (!stretch.guessed || stretch.points.empty()) continue;
      const double from = x(stretch.points.front().hours);
      const double until = x(stretch.points.back().hours);
      document_->fill({from, panel.y, until - from, panel.height}, guessed_grey);
      if (until - from > name_width + 2)
        draw_centred(*document_, {(from + until) / 2, panel.y + panel.height - 1.5}, name, small);
    }
    draw_stretches(panel, scale, line, {0.35, 0, {}});
    document_->outline(panel, frame_line);
  }

  void draw_cure(const Rect& panel, const Scale& scale) {
    for (const ChartLine& line : chart_.cure) draw_stretches(panel, scale, line, {0.35, 0, {}});
    document_->outline(panel, frame_line);
  }

  // After every line, so that none runs through a name. Each name sits on its own line, and each at
  // a height of its own, so that no two touch.
  void draw_names(const Rect& panel, const Scale& scale) {
    const auto count = static_cast<double>(chart_.cure.size());
    for (std::size_t i = 0; i < chart_.cure.size(); ++i) {
      const double share = (count - static_cast<double>(i)) / (count + 1);
      draw_name(panel, scale, chart_.cure[i], share);
    }
  }

  // The name on white, where the line first passes `share`, or at its end where it does not get
  // there.
  void draw_name(const Rect& panel, const Scale& scale, const ChartLine& line, double share) {
    const ChartPoint at = crossing(line, share);
    const double width = measure_.width(line.label, small);
    const double left =
        std::clamp(x(at.hours) - width / 2, panel.x + 1, panel.x + panel.width - width - 1);
    const double middle =
        std::clamp(y(panel, scale, at.value), panel.y + 2, panel.y + panel.height - 2);
    draw_on_white({left, middle + 0.85}, line.label, small);
  }

  static ChartPoint crossing(const ChartLine& line, double share) {
    ChartPoint before;
    for (const ChartStretch& stretch : line.stretches)
      for (const ChartPoint& point : stretch.points) {
        if (point.value >= share && point.value > before.value) {
          const double part = (share - before.value) / (point.value - before.value);
          return {before.hours + std::max(part, 0.0) * (point.hours - before.hours), share};
        }
        before = point;
      }
    return before;
  }

  // Lines first, so that they run behind every text.
  void draw_labels(double top, double bottom) {
    for (const PlacedLabel& label : labels_) {
      const double at = x(label.mark.hours);
      document_->line({at, top - label.row * label_row + 0.4}, {at, bottom},
                      label.now ? now_line : step_line);
    }
    for (const PlacedLabel& label : labels_)
      draw_on_white({left_ + label.x - measure_.width(label.mark.label, small) / 2,
                     top - label.row * label_row - 0.4},
                    label.mark.label, small);
    for (const auto& [baseline, name] : captions_) draw_on_white(baseline, name, small_bold);
  }

  void draw_on_white(Point baseline, const std::string& text, Font font) {
    document_->fill({baseline.x - 0.6, baseline.y - 2.25, measure_.width(text, font) + 1.2, 2.8},
                    1);
    document_->text(baseline, text, font);
  }

  // Ends of the axis are always named; days between where there is room.
  void draw_days(double bottom) {
    const double base = bottom + 3.4;
    document_->text({left_, base}, chart_.from, small);
    draw_right(*document_, {left_ + plot_width_, base}, chart_.until, small);
    double taken = left_ + measure_.width(chart_.from, small) + 2;
    const double end = left_ + plot_width_ - measure_.width(chart_.until, small) - 2;
    for (const ChartMark& day : chart_.days) {
      const double at = x(day.hours);
      const double half = measure_.width(day.label, small) / 2;
      document_->line({at, bottom}, {at, bottom + 1}, frame_line);
      if (at - half < taken || at + half > end) continue;
      draw_centred(*document_, {at, base}, day.label, small);
      taken = at + half + 2;
    }
  }

  void draw_legend(double base) {
    double at = left_;
    for (const bool guessed : {false, true}) {
      const std::string name = words_(guessed ? "guessed-stretch" : "from-readings");
      if (guessed) document_->fill({at, base - 2.4, 10, 3}, guessed_grey);
      document_->line({at, base - 0.9}, {at + 10, base - 0.9},
                      {0.35, 0, guessed ? guessed_dash : std::vector<double>{}});
      document_->text({at + 11.5, base}, name, small);
      at += 11.5 + measure_.width(name, small) + 8;
    }
  }

  const Document& measure_;
  Document* document_ = nullptr;
  const ChartContent& chart_;
  const Words& words_;
  double plot_width_;
  double left_ = 0;
  std::vector<PlacedLabel> labels_;
  std::vector<std::pair<Point, std::string>> captions_;
  int rows_ = 0;
};

}  // namespace

double chart_height(const Document& document, const ChartContent& chart, const Words& words,
                    double width) {
  return Chart(document, chart, words, width).height();
}

void draw_chart(Document& document, const ChartContent& chart, const Words& words, Point top_left,
                double width) {
  Chart(document, chart, words, width).draw(document, top_left);
}

}  // namespace trencher::paper
