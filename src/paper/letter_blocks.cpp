#include "paper/letter_blocks.h"

#include "domain/error.h"
#include "paper/language.h"
#include "paper/phrases.h"

namespace trencher::paper {
namespace {

constexpr std::size_t printed_hash = 16;  // digits: enough to tell one journal from another

class Blocks {
 public:
  explicit Blocks(const LetterContent& content)
      : content_(content), language_(content.language), words_("letter", content.language) {
    for (const LetterGroup& group : content.groups)
      codes_.insert(codes_.end(), group.codes.begin(), group.codes.end());
    if (codes_.empty()) throw Error::request("A letter needs at least one board that it is about.");
  }

  std::vector<LetterBlock> lay() {
    lay_opening();
    lay_board();
    for (const LetterGroup& group : content_.groups) lay_group(group);
    lay_notes();
    lay_end();
    return std::move(out_);
  }

 private:
  bool complaint() const { return content_.kind == LetterKind::complaint; }

  void add(LetterPart part, std::string text) {
    if (!text.empty()) out_.push_back({part, std::move(text)});
  }

  std::string said(const LetterSentence& sentence) const {
    return words_(sentence.part, std::span<const Words::Value>(sentence.values));
  }

  void lay_opening() {
    const std::string codes = language_.all_of(codes_);
    add(LetterPart::subject,
        words_(complaint() ? "subject-complaint" : "subject-answer", {{"codes", codes}}));
    add(LetterPart::text, words_("greeting"));
    if (!complaint()) return add(LetterPart::text, words_("thanks-answer", {{"codes", codes}}));
    add(LetterPart::text, words_("thanks-complaint", {{"codes", codes},
                                                      {"learned_on", content_.learned_on},
                                                      {"complaint", content_.complaint}}));
    add(LetterPart::text, words_("complaint-stop"));
    if (content_.shared > 0)
      add(LetterPart::text,
          words_(content_.shared == 1 ? "complaint-shared-one" : "complaint-shared",
                 {{"count", std::to_string(content_.shared)}}));
    add(LetterPart::text, words_("complaint-record"));
  }

  void lay_board() {
    add(LetterPart::heading, words_("board-heading"));
    add(LetterPart::text, words_("board", {{"use", capitalised(content_.use)},
                                           {"size", content_.size},
                                           {"woods", content_.woods},
                                           {"finished_on", content_.finished_on}}));
  }

  void lay_group(const LetterGroup& group) {
    if (content_.groups.size() > 1)
      add(LetterPart::heading, words_("group", {{"codes", language_.all_of(group.codes)}}));
    for (const LetterTopic& topic : group.topics) {
      const std::string about = capitalised(topic.about);
      std::string result = words_("result-" + topic.result, {{"about", about}});
      if (topic.result == "none-recorded") result += " " + words_("reservation");
      add(LetterPart::strong, std::move(result));
      lay_bullets(topic.because);
    }
    lay_list("for-all", group.for_all);
    lay_list("missing", group.missing);
    if (!group.missing.empty()) add(LetterPart::text, words_("missing-ask"));
    lay_list("trail", group.trail);
  }

  void lay_bullets(const std::vector<LetterSentence>& sentences) {
    for (const LetterSentence& sentence : sentences) add(LetterPart::bullet, said(sentence));
  }

  void lay_list(std::string_view heading, const std::vector<LetterSentence>& sentences) {
    if (sentences.empty()) return;
    add(LetterPart::heading, words_(heading));
    lay_bullets(sentences);
  }

  void lay_notes() {
    add(LetterPart::heading, words_("notes"));
    lay_bullets(content_.corrected);
    lay_bullets(content_.notes);
    add(LetterPart::bullet, words_("local"));
  }

  void lay_end() {
    add(LetterPart::text, words_("ask-us", {{"contact", content_.contact}}));
    add(LetterPart::text, words_("closing"));
    for (const std::string* line : {&content_.maker, &content_.address, &content_.contact})
      add(LetterPart::sender, *line);
    add(LetterPart::small, words_("rests", {{"position", std::to_string(content_.position)},
                                            {"hash", content_.last_hash.substr(0, printed_hash)}}));
  }

  const LetterContent& content_;
  Language language_;
  Words words_;
  std::vector<std::string> codes_;
  std::vector<LetterBlock> out_;
};

}  // namespace

std::vector<LetterBlock> letter_blocks(const LetterContent& content) {
  return Blocks(content).lay();
}

}  // namespace trencher::paper
