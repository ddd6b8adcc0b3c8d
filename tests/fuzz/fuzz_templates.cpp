// The sentences of the papers with hostile values: what comes out is what a plain reading of the
// template gives, values stand in it as they are and are never read as templates themselves. And
// templates that are hostile, though the program takes none from outside: refused or filled in.
#include <array>
#include <map>

#include "domain/text.h"
#include "fuzz.h"
#include "paper/card_text.h"
#include "paper/letter.h"
#include "paper/offer.h"
#include "paper/phrases.h"

using namespace trencher;
using Values = std::map<std::string, std::string>;

namespace {

constexpr std::array papers{"care-card", "language", "letter",      "notice",
                            "offer",     "record",   "stall-sheet", "wall-chart"};
constexpr std::array languages{"en", "de", "fr", "es"};

// Up to the end of the section named, which is taken off too; nothing is put out while `silent`.
std::string read_plainly(std::string_view& text, const Values& values, const std::string& section,
                         bool silent) {
  std::string out;
  while (!text.empty()) {
    const auto open = std::min(text.find("{{"), text.size());
    out += text.substr(0, open);
    text.remove_prefix(open);
    if (text.empty()) break;
    const auto close = text.find("}}");
    const std::string tag(text.substr(2, close - 2));
    text.remove_prefix(close + 2);
    const std::string name = tag.substr(1);
    if (tag[0] == '/') {
      fuzz::demand(name == section, "sections of a shipped template close in order", tag);
      break;
    }
    if (tag[0] == '#' || tag[0] == '^')
      out += read_plainly(text, values, name, values.contains(name) == (tag[0] == '^'));
    else if (const auto value = values.find(tag); value != values.end())
      out += value->second;
  }
  return silent ? std::string() : out;
}

std::vector<std::string> names_in(std::string_view text) {
  std::vector<std::string> out;
  for (auto at = text.find("{{"); at != text.npos; at = text.find("{{", at + 2)) {
    const std::string_view tag = text.substr(at + 2, text.find("}}", at) - at - 2);
    out.emplace_back(tag.substr(tag.find_first_not_of("#^/")));
  }
  return out;
}

void see_phrase(fuzz::Bytes& in) {
  const char* paper = in.choice(papers);
  const char* language = paper == papers.back() ? languages.front() : in.choice(languages);
  const auto phrases = paper::phrases(paper::template_text(paper, language));
  const paper::Phrase& phrase = phrases[in.number() % phrases.size()];
  Values values;
  std::vector<paper::Words::Value> given;
  for (const std::string& name : names_in(phrase.text)) {
    if (values.contains(name)) continue;
    const std::string value = in.line();
    given.emplace_back(name, value);
    if (!value.empty()) values[name] = shown(value);  // as on every way out
  }
  const paper::Words words(paper, language);
  const auto filled = fuzz::accepted([&] { return words(phrase.part, given); });
  if (!filled) return;
  std::string_view text = phrase.text;
  const std::string plainly = read_plainly(text, values, {}, false);
  fuzz::demand(*filled == plainly, "a phrase is filled in plainly", *filled + " / " + plainly);
}

void see_lines(const std::string& text) {
  fuzz::demand(is_utf8(text), "a text is UTF-8");
  for (std::size_t at = 0; at < text.size();) {
    const auto end = std::min(text.find('\n', at), text.size());
    const std::string line = text.substr(at, end - at);
    at = end + 1;
    fuzz::demand(
        display_width(line) <= 72 || line.find(' ', 2) == line.npos || line.find_last_of(' ') < 4,
        "a line holds 72 columns or one word", line);
    fuzz::demand(fuzz::is_plain(line), "a line has no control character", line);
  }
}

void see_offer(fuzz::Bytes& in) {
  paper::OfferContent offer;
  offer.language = in.choice(languages);
  const unsigned flags = in.byte();
  offer.for_cutting = flags & 1;
  offer.for_food = flags & 2;
  offer.self_heating = flags & 4;
  offer.first_contact = static_cast<paper::OfferContact>(flags >> 3 & 1);
  for (std::string* value :
       {&offer.maker, &offer.address, &offer.contact, &offer.responsible, &offer.batch, &offer.use,
        &offer.size, &offer.woods, &offer.finish, &offer.glue, &offer.others, &offer.picture,
        &offer.contains, &offer.none_recorded, &offer.not_known, &offer.shared, &offer.list})
    *value = in.line();
  if (const auto text = fuzz::accepted([&] { return paper::offer_text(offer); })) see_lines(*text);
}

void see_letter(fuzz::Bytes& in) {
  paper::LetterContent letter;
  letter.language = in.choice(languages);
  letter.kind = static_cast<paper::LetterKind>(in.byte() & 1);
  letter.shared = static_cast<int>(in.byte());
  for (std::string* value : {&letter.use, &letter.size, &letter.woods, &letter.finished_on,
                             &letter.maker, &letter.address, &letter.contact, &letter.date,
                             &letter.last_hash, &letter.complaint, &letter.learned_on})
    *value = in.line();
  paper::LetterTopic topic{in.line(), "contains", {{"nature", {{"tin", in.line()}}}}};
  letter.groups.push_back({{in.line()}, {topic}, {}, {{"step-coat", {{"tin", in.line()}}}}, {}});
  if (const auto text = fuzz::accepted([&] { return paper::letter_text(letter); })) {
    fuzz::demand(is_utf8(*text), "a letter is UTF-8");
    fuzz::demand(fuzz::is_plain(*text, "\n"), "a letter has no control character", *text);
  }
}

void see_card(fuzz::Bytes& in) {
  paper::CardContent card;
  card.language = in.choice(languages);
  card.reoil_months = static_cast<int>(in.byte());
  card.us_measures = in.byte() & 1;
  card.used_before = in.byte() & 1;
  for (std::string* value : {&card.code, &card.use, &card.size, &card.finished_on,
                             &card.first_contact_on, &card.reoil_with, &card.maker, &card.address,
                             &card.contact, &card.responsible, &card.allergen_list})
    *value = in.line();
  for (auto* list : {&card.woods, &card.glues, &card.finishes, &card.others, &card.shared,
                     &card.contains, &card.none_recorded, &card.not_known, &card.lines})
    if (const std::string line = in.line(); !line.empty()) *list = split(line, ';');
  const auto text = fuzz::accepted([&] { return paper::card_text(card); });
  if (!text) return;
  for (const paper::CardLine& line : text->lines)
    fuzz::demand(is_utf8(line.text) && line.text.find('\n') == std::string::npos,
                 "a line of a card is one line", line.text);
}

// A template's own mistakes are ours: std::logic_error.
void see_template(std::string_view text) {
  try {
    paper::phrases(text);
  } catch (const std::logic_error&) {
  }
  kainjow::mustache::data values;
  values.set("a", "{{b}}");
  values.set("b", "<&>");
  try {
    paper::fill_in(text, values);
  } catch (const std::logic_error&) {
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  fuzz::Bytes in(data, size);
  switch (in.byte() % 5) {
    case 0:
      see_template(in.rest());
      break;
    case 1:
      see_offer(in);
      break;
    case 2:
      see_letter(in);
      break;
    case 3:
      see_card(in);
      break;
    default:
      see_phrase(in);
  }
  return 0;
}
