#include "paper/stall_sheet.h"

#include <algorithm>

#include "domain/error.h"
#include "paper/document.h"
#include "paper/flow.h"
#include "paper/phrases.h"
#include "paper/strips.h"

namespace trencher::paper {
namespace {

constexpr Style title{{Face::bold, 17}, 1.25, 0};
constexpr Style place{{Face::bold, 10}, 1.3, 0};
constexpr Style body{{Face::regular, 8.5}, 1.3, 0};
constexpr Style code_style{{Face::bold, 13}, 1.22, 0};
constexpr Style what_style{{Face::regular, 7.5}, 1.22, 0};
constexpr Style column_style{{Face::regular, 7}, 1.2, 0};
constexpr Font small{Face::regular, 7.5};

constexpr double box = 5.5;         // mm; ticked with a pen, standing
constexpr double box_column = 17;   // of each of the two boxes
constexpr double least_row = 12.5;  // to write in
constexpr double padding = 1.1;     // above and below a row's text
constexpr double gutter = 3;
const Stroke box_stroke{0.4, 0, {}};
const Stroke write_on{0.25, 0, {}};
const Stroke between{0.12, 0.55, {}};

class Sheet {
 public:
  Sheet(Document& document, const StallSheetContent& content)
      : content_(content), words_("stall-sheet", content.language), flow_(document, {14, 16, 14}) {
    // The rest of the width is shared by the piece, the name and the contact.
    const double rest = flow_.width() - 2 * box_column - 2 * gutter;
    piece_ = {flow_.left(), rest * 0.36};
    sold_ = {piece_.left + piece_.width + gutter, box_column};
    consent_ = {sold_.left + box_column, box_column};
    name_ = {consent_.left + box_column, rest * 0.3};
    contact_ = {name_.left + name_.width + gutter, rest * 0.34};
  }

  void draw() {
    draw_head();
    draw_columns();
    for (const StallRow& row : content_.rows) draw_row(row);
    for (int page = 0; page < document().pages(); ++page) draw_foot(page);
  }

 private:
  struct Column {
    double left = 0, width = 0;
  };

  Document& document() { return flow_.document(); }

  void draw_head() {
    const Rect band = flow_.take(4, "The band of the sheet");
    draw_strips(document(), band, 3);
    flow_.skip(2.5);
    flow_.paragraph(words_("title"), title);
    flow_.paragraph(words_("maker", {{"maker", content_.maker}, {"contact", content_.contact}}),
                    body);
    flow_.skip(1.5);
    draw_asked("event", content_.event);
    draw_asked("day", content_.day);
    flow_.skip(1);
    flow_.paragraph(words_("why"), body);
    flow_.paragraph(words_("without"), {{Face::bold, 8.5}, 1.3, 0});
    flow_.skip(2.5);
  }

  // What is known, or a line to write it on.
  void draw_asked(const std::string& part, const std::string& known) {
    if (!known.empty()) return flow_.paragraph(words_(part, {{part, known}}), place);
    const std::string asked = words_(part + "-lines");
    const Rect at = flow_.take(7, "A line to fill in");
    const double y = at.y + at.height - 1.5;
    document().text({at.x, y}, asked, place.font);
    document().line({at.x + document().width(asked, place.font) + 2, y}, {at.x + at.width * 0.6, y},
                    write_on);
  }

  void draw_columns() {
    struct Heading {
      Column at;
      const char* part;
    };
    const Heading headings[] = {{piece_, "code"},
                                {sold_, "sold"},
                                {consent_, "consent"},
                                {name_, "name"},
                                {contact_, "contact"}};
    double height = 0;
    for (const Heading& heading : headings)
      height = std::max(
          height, height_of(lines(words_(heading.part), heading.at, column_style), column_style));
    const Rect row = flow_.take(height + 2, "The headings of the sheet");
    document().fill(row, 0.9);
    for (const Heading& heading : headings) {
      const auto text = lines(words_(heading.part), heading.at, column_style);
      draw_lines(document(),
                 {heading.at.left + 0.5, row.y + 1 + height - height_of(text, column_style)}, text,
                 column_style);
    }
  }

  std::vector<std::string> lines(const std::string& text, const Column& at,
                                 const Style& style) const {
    return break_lines(flow_.document(), text, style.font, at.width - 1);
  }

  static double height_of(const std::vector<std::string>& text, const Style& style) {
    return static_cast<double>(text.size()) * style.line_height();
  }

  void draw_row(const StallRow& row) {
    const auto code = lines(row.code, piece_, code_style);
    const auto what = lines(row.what, piece_, what_style);
    const double needed = height_of(code, code_style) + height_of(what, what_style) + 2 * padding;
    const double height = std::max(least_row, needed);
    if (height > flow_.room()) {
      flow_.new_page();
      draw_columns();
    }
    const Rect at = flow_.take(height, "A row of the sheet");
    const double below = draw_lines(document(), {at.x, at.y + padding}, code, code_style);
    draw_lines(document(), {at.x, below}, what, what_style);
    for (const Column& column : {sold_, consent_})
      document().outline({column.left + 1, at.y + (height - box) / 2, box, box}, box_stroke);
    for (const Column& column : {name_, contact_})
      document().line({column.left, at.y + height - 2.6},
                      {column.left + column.width, at.y + height - 2.6}, write_on);
    document().line({at.x, at.y + height}, {at.x + at.width, at.y + height}, between);
  }

  void draw_foot(int page) {
    document().select_page(page);
    const double y = document().sheet().height - 7;
    const std::string number = words_("page", {{"number", std::to_string(page + 1)},
                                               {"count", std::to_string(document().pages())}});
    draw_right(document(), {flow_.left() + flow_.width(), y}, number, small);
    draw_fitting(document(), {flow_.left(), y}, words_("holds-names"), small,
                 flow_.width() - document().width(number, small) - gutter, "The foot of the sheet");
  }

  const StallSheetContent& content_;
  Words words_;
  Flow flow_;
  Column piece_, sold_, consent_, name_, contact_;
};

}  // namespace

void write_stall_sheet(const StallSheetContent& content, const StallSheetOptions& options,
                       const std::filesystem::path& path) {
  if (content.rows.empty()) throw Error::request("A sheet for the stall needs at least one piece.");
  const Words words("stall-sheet", content.language);
  Document document(options.sheet, words("title"), options.made_at);
  Sheet(document, content).draw();
  document.save(path);
}

}  // namespace trencher::paper
