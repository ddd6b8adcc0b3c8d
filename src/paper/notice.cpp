#include "paper/notice.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "domain/error.h"
#include "paper/document.h"
#include "paper/flow.h"
#include "paper/language.h"
#include "paper/phrases.h"

namespace trencher::paper {
namespace {

constexpr Style title{{Face::bold, 22}, 1.25, 0};
constexpr Style heading{{Face::bold, 12}, 1.3, 0};
constexpr Style strong{{Face::bold, 11}, 1.3, 0};
constexpr Style body{{Face::regular, 11}, 1.3, 0};
constexpr Font small{Face::regular, 9};

constexpr std::array remedies{"repair", "replacement", "refund"};
constexpr std::size_t remedies_owed = 2;

void demand_known(const std::vector<std::string>& chosen) {
  for (const std::string& id : chosen)
    if (std::find(remedies.begin(), remedies.end(), id) == remedies.end())
      throw Error::request(fmt::format(
          "A notice cannot offer \"{}\": a remedy is repair, replacement or refund.", id));
}

class Notice {
 public:
  Notice(Document& document, const NoticeContent& content)
      : content_(content),
        language_(content.language),
        words_("notice", content.language),
        returned_(std::none_of(content.boards.begin(), content.boards.end(),
                               [](const NoticeBoard& board) { return board.back_on.empty(); })),
        first_page_(document.pages()),
        flow_(document, {13, 15, 18}) {}

  void draw() {
    draw_head();
    draw_boards();
    draw_pictures();
    draw_why();
    draw_told("risk", content_.risk, 2);
    draw_told("to-do", content_.to_do, 2, returned_ ? words_("to-do-returned") : "");
    draw_remedies();
    draw_contact();
    for (int page = first_page_; page < document().pages(); ++page) draw_foot(page);
  }

 private:
  Document& document() { return flow_.document(); }

  // With room for `following` mm of what it heads.
  void draw_heading(std::string_view part, double following) {
    flow_.skip(3);
    flow_.need(heading.line_height() + following);
    flow_.paragraph(words_(part), heading);
  }

  void draw_head() {
    const Rect band = flow_.take(3, "The band of the notice");
    document().fill(band, 0);
    flow_.skip(3);
    flow_.paragraph(words_("title"), title);
    flow_.skip(2);
    flow_.paragraph(
        content_.to.empty() ? words_("to-everybody") : words_("to", {{"to", content_.to}}), body);
    flow_.paragraph(content_.to_contact, body);
    flow_.skip(2);
    flow_.paragraph(words_(returned_ ? "stop-returned" : "stop"), {{Face::bold, 13}, 1.3, 0});
  }

  void draw_boards() {
    draw_heading("boards", 2 * body.line_height());
    for (const NoticeBoard& board : content_.boards) {
      flow_.skip(0.6);
      flow_.need(strong.line_height() + body.line_height());
      flow_.paragraph(words_("board", {{"code", board.code}}), strong);
      const char* part = board.left_on.empty()   ? "here"
                         : board.back_on.empty() ? "left"
                                                 : "returned";
      flow_.paragraph(words_(part, {{"description", board.description},
                                    {"left_on", board.left_on},
                                    {"back_on", board.back_on}}),
                      body);
    }
    if (returned_) return;  // the code is not theirs to look for
    flow_.skip(0.6);
    flow_.paragraph(words_("code-place"), body);
  }

  // The pictures that there are, and frames for those that are not; of where the code stands there
  // never is one.
  void draw_pictures() {
    // Lines to fill in need the room that larger pictures would have.
    const bool told = !content_.risk.empty() && !content_.to_do.empty();
    const double height = told ? 40 : 28;
    std::vector<NoticePicture> frames = content_.pictures;
    if (!content_.pictures_whole && !returned_) frames.push_back({words_("picture"), ""});
    if (!returned_) frames.push_back({words_("picture-code"), ""});
    constexpr std::size_t in_a_row = 2;
    for (std::size_t i = 0; i < frames.size(); i += in_a_row) {
      flow_.skip(2.5);
      const Rect row = flow_.take(height, "The frames for pictures");
      const double width = (row.width - 6) / in_a_row;
      draw_picture({row.x, row.y, width, height}, frames[i]);
      if (i + 1 < frames.size())
        draw_picture({row.x + width + 6, row.y, width, height}, frames[i + 1]);
    }
  }

  void draw_picture(const Rect& place, const NoticePicture& frame) {
    constexpr double caption = 7;
    document().outline(place, {0.3, 0, {}});
    document().text({place.x + 2, place.y + 5}, frame.caption, small);
    if (frame.plain_jpeg.empty()) return;
    document().picture(
        {place.x + 1, place.y + caption, place.width - 2, place.height - caption - 1},
        frame.plain_jpeg);
  }

  void draw_why() {
    if (content_.product.empty() && content_.supplier_says.empty()) return;
    draw_heading("why", body.line_height());
    if (!content_.product.empty())
      flow_.paragraph(words_("product", {{"product", content_.product}}), body);
    if (!content_.supplier_says.empty())
      flow_.paragraph(words_("supplier-says", {{"supplier_says", content_.supplier_says}}), body);
  }

  // The maker's words, or lines for them, behind words of ours.
  void draw_told(const std::string& part, const std::string& told, int lines,
                 const std::string& ours = {}) {
    constexpr double line_height = 8;
    draw_heading(part, told.empty() ? 5 + lines * line_height : body.line_height());
    if (!ours.empty()) flow_.paragraph(ours, body);
    if (!told.empty()) return flow_.paragraph(told, body);
    flow_.paragraph(words_(part + "-lines"), {small, 1.3, 0});
    const Rect place = flow_.take(lines * line_height, "The lines to fill in");
    for (int line = 1; line <= lines; ++line) {
      const double y = place.y + line * line_height;
      document().line({place.x, y}, {place.x + place.width, y}, {0.25, 0, {}});
    }
    flow_.skip(1);
  }

  void draw_remedies() {
    draw_heading("remedies", 2 * body.line_height());
    if (content_.remedies.size() < remedies_owed) return draw_boxes();
    std::vector<std::string> names;
    for (const std::string& id : content_.remedies) names.push_back(words_(id));
    flow_.paragraph(words_("remedies-chosen", {{"remedies", language_.any_of(names)}}), body);
  }

  void draw_boxes() {
    constexpr double box = 4.5;
    flow_.paragraph(words_("remedies-boxes"), {small, 1.3, 0});
    flow_.skip(1);
    const Rect place = flow_.take(box + 1, "The boxes to tick");
    double left = place.x;
    for (const char* id : remedies) {
      document().outline({left, place.y, box, box}, {0.35, 0, {}});
      const bool ticked = std::find(content_.remedies.begin(), content_.remedies.end(), id) !=
                          content_.remedies.end();
      if (ticked) {
        document().line({left, place.y}, {left + box, place.y + box}, {0.5, 0, {}});
        document().line({left, place.y + box}, {left + box, place.y}, {0.5, 0, {}});
      }
      document().text({left + box + 2, place.y + box - 0.6}, words_(id), body.font);
      left += place.width / remedies.size();
    }
  }

  void draw_contact() {
    draw_heading("contact", 4 * body.line_height());
    for (const std::string* line : {&content_.maker, &content_.address, &content_.contact})
      flow_.paragraph(*line, body);
    flow_.skip(2);
    flow_.paragraph(words_("pass-on"), strong);
  }

  void draw_foot(int page) {
    document().select_page(page);
    const double y = document().sheet().height - 10;
    draw_fitting(document(), {flow_.left(), y},
                 words_("page", {{"title", words_("title")},
                                 {"made_on", content_.made_on},
                                 {"number", std::to_string(page - first_page_ + 1)},
                                 {"count", std::to_string(document().pages() - first_page_)}}),
                 small, flow_.width(), "The foot of the notice");
  }

  const NoticeContent& content_;
  Language language_;
  Words words_;
  bool returned_;  // all boards came back: nothing of them is in use there
  int first_page_;
  Flow flow_;
};

}  // namespace

void write_notice(const std::vector<NoticeContent>& notices, const NoticeOptions& options,
                  const std::filesystem::path& path) {
  if (notices.empty()) throw Error::request("A file of notices needs at least one notice.");
  for (const NoticeContent& content : notices) {
    if (content.boards.empty())
      throw Error::request("A notice of a recall needs at least one board that it speaks of.");
    demand_known(content.remedies);
  }
  const Words words("notice", notices.front().language);
  Document document(options.sheet, words("title"), options.made_at);
  for (const NoticeContent& content : notices) Notice(document, content).draw();
  document.save(path);
}

}  // namespace trencher::paper
