#include "paper/letter.h"

#include "paper/document.h"
#include "paper/flow.h"
#include "paper/letter_blocks.h"
#include "paper/phrases.h"
#include "paper/plain_text.h"

namespace trencher::paper {
namespace {

constexpr Style body{{Face::regular, 10}, 1.35, 0};
constexpr Style strong{{Face::bold, 10}, 1.35, 0};
constexpr Style heading{{Face::bold, 11}, 1.3, 0};
constexpr Style subject{{Face::bold, 13}, 1.3, 0};
constexpr Style small{{Face::regular, 8}, 1.3, 0};
constexpr double indent = 5;

// Bullets stay together; a blank line before whatever else begins.
bool is_apart(LetterPart before, LetterPart now) {
  if (now == LetterPart::bullet) return before == LetterPart::text;
  return now != LetterPart::sender && before != LetterPart::heading;
}

class Page {
 public:
  Page(Document& document, const LetterContent& content)
      : flow_(document, {18, 18, 23}), content_(content) {}

  void draw(const std::vector<LetterBlock>& blocks) {
    draw_sender();
    LetterPart before = LetterPart::heading;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (is_apart(before, blocks[i].part)) flow_.skip(gap_before(blocks[i].part));
      draw_block(blocks[i], i + 1 < blocks.size() ? blocks[i + 1].part : LetterPart::text);
      before = blocks[i].part;
    }
    const Words words("letter", content_.language);
    for (int page = 0; page < document().pages(); ++page) draw_foot(page, words);
  }

 private:
  Document& document() { return flow_.document(); }

  static double gap_before(LetterPart part) { return part == LetterPart::heading ? 4 : 2.2; }

  void draw_sender() {
    flow_.paragraph(content_.maker, strong);
    flow_.paragraph(content_.address, body);
    flow_.paragraph(content_.contact, body);
    flow_.skip(5);
    flow_.paragraph(content_.date, body);
    flow_.skip(4);
  }

  void draw_block(const LetterBlock& block, LetterPart next) {
    // A heading, and an answer with reasons, keep two lines of what follows on their page.
    const double following = next == LetterPart::bullet ? 2 * body.line_height() : 0;
    switch (block.part) {
      case LetterPart::subject:
        return flow_.paragraph(block.text, subject);
      case LetterPart::heading:
        flow_.need(heading.line_height() + 5 * body.line_height());
        flow_.paragraph(block.text, heading);
        return flow_.skip(0.8);
      case LetterPart::strong:
        flow_.need(2 * strong.line_height() + following);
        return flow_.paragraph(block.text, strong);
      case LetterPart::bullet:
        return draw_bullet(block.text);
      case LetterPart::small:
        return flow_.paragraph(block.text, small);
      case LetterPart::sender:
        // Address and contact stand at the head already.
        if (block.text == content_.maker) flow_.paragraph(block.text, body);
        return;
      case LetterPart::text:
        return flow_.paragraph(block.text, body);
    }
  }

  void draw_bullet(const std::string& text) {
    flow_.need(body.line_height());
    bool first = true;
    for (const std::string& line :
         break_lines(document(), text, body.font, flow_.width() - indent)) {
      const Rect place = flow_.take(body.line_height(), "A line of the letter");
      if (first) draw_lines(document(), {place.x + 1, place.y}, {"–"}, body);
      draw_lines(document(), {place.x + indent, place.y}, {line}, body);
      first = false;
    }
  }

  void draw_foot(int page, const Words& words) {
    document().select_page(page);
    draw_right(document(), {flow_.left() + flow_.width(), document().sheet().height - 11},
               words("page", {{"number", std::to_string(page + 1)},
                              {"count", std::to_string(document().pages())}}),
               small.font);
  }

  Flow flow_;
  const LetterContent& content_;
};

}  // namespace

std::string letter_text(const LetterContent& content) {
  std::string out;
  LetterPart before = LetterPart::heading;
  for (const LetterBlock& block : letter_blocks(content)) {
    if (is_apart(before, block.part)) out += "\n";
    const bool bullet = block.part == LetterPart::bullet;
    append_wrapped(out, block.text, bullet ? "- " : "", bullet ? "  " : "");
    before = block.part;
  }
  return out;
}

void write_letter(const LetterContent& content, const LetterOptions& options,
                  const std::filesystem::path& path) {
  const std::vector<LetterBlock> blocks = letter_blocks(content);
  Document document(options.sheet, blocks.front().text, options.made_at);
  Page(document, content).draw(blocks);
  document.save(path);
}

}  // namespace trencher::paper
