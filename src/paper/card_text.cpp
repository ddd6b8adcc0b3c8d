#include "paper/card_text.h"

#include <algorithm>
#include <initializer_list>
#include <utility>

#include "domain/error.h"
#include "domain/text.h"
#include "engine/card_lines.h"
#include "engine/market.h"
#include "paper/language.h"
#include "paper/phrases.h"

namespace trencher::paper {
namespace {

class Writer {
 public:
  explicit Writer(const CardContent& card)
      : card_(card), words_("care-card", card.language), language_(card.language) {}

  CardText write() {
    head();
    made_of();
    contents();
    cleaning();
    oiling();
    foot();
    return {words_("document"), std::move(lines_), code_sentence(words_, card_.code),
            words_("overleaf"), words_("continued", {{"use", capitalised(card_.use)}})};
  }

 private:
  using Value = Words::Value;

  bool carries(std::string_view key) const {
    return std::find(card_.lines.begin(), card_.lines.end(), key) != card_.lines.end();
  }

  // Where the card carries that line and there is something to say.
  void add(const char* key, CardRole role, const std::string& text) {
    if (!carries(key) || text.empty()) return;
    if (!section_.empty()) lines_.push_back({"", CardRole::section, std::exchange(section_, "")});
    lines_.push_back({key, role, shown(text)});
  }
  // In a sentence of the template.
  void say(const char* key, const char* part, std::initializer_list<Value> values = {},
           CardRole role = CardRole::text) {
    if (carries(key)) add(key, role, words_(part, values));
  }
  // Its heading is printed with the first text that follows.
  void section(const char* part) { section_ = words_(part); }

  void head() {
    add("use", CardRole::title, capitalised(card_.use));
    add("size", CardRole::head, card_.size);
    say("for-food-contact", "for-food-contact", {}, CardRole::head);
    // A date that is not there is a date that is not known.
    const bool dated =
        !card_.first_contact_on.empty() && card_.first_contact != FirstContact::not_known;
    const bool guessed = dated && card_.first_contact == FirstContact::guessed;
    say("first-contact",
        guessed ? "first-contact-guessed"
        : dated ? "first-contact"
                : "first-contact-unknown",
        {{"date", dated ? card_.first_contact_on : ""}}, CardRole::contact);
    if (guessed) say("first-contact", "guessed-note", {}, CardRole::contact_note);
  }

  void made_of() {
    section("wood");
    for (const std::string& wood : card_.woods) add("wood", CardRole::text, wood);
    if (card_.woods.empty()) say("wood", "wood-unknown");
    section("glue");
    add("glue", CardRole::text,
        !card_.glues.empty() ? language_.all_of(card_.glues)
                             : words_(card_.glued ? "glue-unknown" : "glue-none"));
    section("finish");
    add("finish", CardRole::text,
        card_.finishes.empty() ? words_("finish-none") : language_.all_of(card_.finishes));
    // As the papers name them: free text, in which commas may stand.
    for (const CardIngredients& list : card_.ingredients)
      say("ingredients", list.complete ? "ingredients-complete" : "ingredients-open",
          {{"name", list.name}, {"ingredients", join(list.list, "; ")}});
    section("others");
    add("others", CardRole::text, language_.all_of(card_.others));
    section("finished");
    add("finished", CardRole::text,
        card_.finished_on.empty() ? words_("finished-unknown") : card_.finished_on);
  }

  void contents() {
    section("contents");
    const bool answered =
        !card_.contains.empty() || !card_.none_recorded.empty() || !card_.not_known.empty();
    if (!card_.contains.empty())
      say("contains", "contains", {{"things", language_.all_of(card_.contains)}}, CardRole::strong);
    if (!card_.none_recorded.empty())
      say("contains", "none-recorded", {{"things", language_.all_of(card_.none_recorded)}});
    if (!card_.not_known.empty())
      say("contains", "not-known", {{"things", language_.all_of(card_.not_known)}});
    if (!card_.shared.empty())
      say("shared", "shared", {{"things", language_.all_of(card_.shared)}});
    if (card_.used_before) say("contains", "used-before");
    if (!answered) say("contains", "no-answer");
    if (!card_.allergen_list.empty())
      say("contains", "names-follow", {{"list", card_.allergen_list}});
    say("allergy", "allergy");
  }

  void cleaning() {
    section("cleaning");
    for (const char* key : {"wash", "separate-boards"}) say(key, key);
    say("sanitise", card_.us_measures ? "sanitise-us" : "sanitise-metric");
    for (const char* key : {"dishwasher", "laminated", "grooves"}) say(key, key);
  }

  void oiling() {
    section("oiling");
    const Value with{"with", card_.reoil_with};
    if (card_.reoil_months == 0)
      say("oiling", "oiling-unknown");
    else if (card_.reoil_months == 1)
      say("oiling", "oiling-monthly", {with});
    else
      say("oiling", "oiling-months", {{"months", std::to_string(card_.reoil_months)}, with});
    say("rags", "rags", {}, CardRole::strong);
  }

  void foot() {
    add("maker", CardRole::maker, card_.maker);
    add("address", CardRole::foot, card_.address);
    const bool electronic = engine::has_electronic_address(card_.contact);
    add(electronic ? "electronic-address" : "contact", CardRole::foot, card_.contact);
    if (!card_.responsible.empty())
      say("responsible", "responsible", {{"responsible", card_.responsible}}, CardRole::foot);
    add("code", CardRole::foot, code_sentence(words_, card_.code));
    say("local-rules", "local-rules", {}, CardRole::law);
  }

  const CardContent& card_;
  Words words_;
  Language language_;
  std::string section_;  // a heading not yet printed
  std::vector<CardLine> lines_;
};

}  // namespace

CardText card_text(const CardContent& card) {
  if (card.code.empty()) throw Error::request("A care card needs the code of its piece.");
  if (card.maker.empty())
    throw Error::request("The care card of " + card.code + " needs the name of the maker.");
  return Writer(card).write();
}

std::vector<std::string> printed_keys(const CardText& text) {
  std::vector<std::string> out;
  for (const std::string_view key : engine::card_line_keys())
    if (std::any_of(text.lines.begin(), text.lines.end(),
                    [&](const CardLine& line) { return line.key == key; }))
      out.emplace_back(key);
  return out;
}

std::string code_sentence(const Words& card_words, const std::string& code) {
  return card_words("code", {{"code", code}});
}

}  // namespace trencher::paper
