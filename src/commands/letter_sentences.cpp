#include "commands/letter_sentences.h"

#include <algorithm>
#include <set>

#include "commands/named.h"
#include "domain/text.h"
#include "reference/names.h"

namespace trencher::commands {
namespace {

using Values = std::vector<std::pair<std::string, std::string>>;

void put(Values& values, const char* name, std::string value) {
  if (!value.empty()) values.emplace_back(name, std::move(value));
}

// "Board butter" of "F5 Board butter": a customer has no use for our number.
std::string without_id(const std::string& named) {
  const std::size_t blank = named.find(' ');
  if (blank == std::string::npos || blank < 2) return named;
  const bool id = named[0] >= 'A' && named[0] <= 'Z' &&
                  std::all_of(named.begin() + 1, named.begin() + static_cast<std::ptrdiff_t>(blank),
                              [](char c) { return c >= '0' && c <= '9'; });
  return id ? named.substr(blank + 1) : named;
}

// "Hard maple" of "Hard maple (Acer saccharum)".
std::string without_botanical(const std::string& wood) { return wood.substr(0, wood.find(" (")); }

// Of the oils only that of soybeans, fully refined, leaves the European list.
bool stays_listed(const engine::Sentence& said) {
  const auto listed = said.values.find("listed");
  const auto topic = said.values.find("topic");
  if (listed == said.values.end() || topic == said.values.end() || topic->second == "soy")
    return false;
  const std::vector<std::string> ids = split(listed->second, ',');
  return std::find(ids.begin(), ids.end(), "eu") != ids.end();
}

}  // namespace

LetterSentences::LetterSentences(LookUp look_up, std::string woods, std::string_view language)
    : look_up_(std::move(look_up)),
      woods_(std::move(woods)),
      language_(language),
      words_("letter", language) {}

std::string LetterSentences::of(const engine::Sentence& said, const char* value) const {
  const auto at = said.values.find(value);
  return at == said.values.end() ? std::string() : at->second;
}

void LetterSentences::lay_tin(const engine::Sentence& said, Values& out) const {
  const std::string name = of(said, "name"), kind = of(said, "kind");
  if (name.empty()) return;
  // What an owner put on has no number: it never was a tin of ours.
  if (of(said, "tin").empty() && !kind_in_words(kind, language_.id()).empty())
    put(out, "tin", words_("owners-tin", {{"tin", kind_in_words(kind, language_.id())}}));
  else
    put(out, "tin", tin_in_words(name, kind, language_.id()));
}

// Of lists of food allergens, and of wood.
void LetterSentences::lay_lists(const engine::Sentence& said, Values& out) const {
  for (const char* which : {"listed", "unlisted"}) {
    std::vector<std::string> names;
    for (const std::string& id : split(of(said, which), ','))
      if (!id.empty())
        names.push_back(
            reference::name_of(reference::Names::lists, id, language_.id()).value_or(id));
    put(out, which, join(names, ", "));
  }
  if (!of(said, "woods").empty()) put(out, "woods", woods_);
  if (said.key == "wood")
    put(out, "wood",
        wood_in_words(of(said, "species"), without_botanical(of(said, "wood")),
                      of(said, "botanical"), language_.id()));
}

paper::LetterSentence LetterSentences::bare(const engine::Sentence& said) const {
  paper::LetterSentence out{said.key, {}};
  lay_tin(said, out.values);
  for (const char* as_it_stands :
       {"supplier", "lot", "part", "batch", "ingredient", "ingredients", "why"})
    put(out.values, as_it_stands, of(said, as_it_stands));
  put(out.values, "mix", without_id(of(said, "mix")));
  if (const std::string about = of(said, "about"); !about.empty())
    put(out.values, "paper", words_("paper-of-" + about));
  for (const char* day : {"dated", "day"})
    if (const auto known = day_from_iso(of(said, day))) put(out.values, day, date(*known));
  put(out.values, "things", things_in_words(said.ids, language_.id()));
  if (const std::string what = of(said, "what"); !what.empty()) {
    const std::string kind = kind_in_words(what, language_.id());
    put(out.values, "what", kind.empty() ? without_id(what) : kind);
  }
  // The law of refined oils is one, whichever lists name the oil.
  if (said.key != "law-refined") lay_lists(said, out.values);
  return out;
}

std::string LetterSentences::topic_of(const engine::Sentence& said) const {
  const std::string topic = of(said, "topic");
  if (topic.empty() || (said.key == "law-refined" && !stays_listed(said))) return {};
  return topic_in_words(topic, language_.id());
}

void LetterSentences::lay_topics(const std::vector<std::string>& topics,
                                 paper::LetterSentence& sentence) const {
  const std::string all = language_.all_of(topics);
  const bool refined = sentence.part == "law-refined";
  const bool begins = !refined && sentence.part.starts_with("law-");
  put(sentence.values, refined ? "stays" : "topic", begins ? paper::capitalised(all) : all);
}

std::vector<paper::LetterSentence> LetterSentences::once(
    const std::vector<engine::Sentence>& said) const {
  std::vector<paper::LetterSentence> out;
  std::vector<std::vector<std::string>> topics;
  for (const engine::Sentence& one : said) {
    paper::LetterSentence sentence = bare(one);
    const auto same = std::find(out.begin(), out.end(), sentence);
    const auto at = static_cast<std::size_t>(same - out.begin());
    if (same == out.end()) {
      out.push_back(std::move(sentence));
      topics.emplace_back();
    }
    const std::string topic = topic_of(one);
    if (!topic.empty() &&
        std::find(topics[at].begin(), topics[at].end(), topic) == topics[at].end())
      topics[at].push_back(topic);
  }
  for (std::size_t i = 0; i < out.size(); ++i) lay_topics(topics[i], out[i]);
  return out;
}

std::vector<paper::LetterSentence> LetterSentences::reasons(
    const std::vector<engine::Because>& because) const {
  std::vector<paper::LetterSentence> out;
  std::vector<std::set<Day>> days;
  for (const engine::Because& reason : because) {
    paper::LetterSentence sentence = bare(reason);
    if (const std::string topic = topic_of(reason); !topic.empty()) lay_topics({topic}, sentence);
    const auto same = std::find(out.begin(), out.end(), sentence);
    const auto at = static_cast<std::size_t>(same - out.begin());
    if (same == out.end()) {
      out.push_back(std::move(sentence));
      days.emplace_back();
    }
    if (reason.entry == 0) continue;
    if (const auto entry = look_up_(reason.entry)) days[at].insert(local_day(entry->happened));
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    std::vector<std::string> dates;
    for (const Day day : days[i]) dates.push_back(date(day));
    put(out[i].values, "on", language_.all_of(dates));
  }
  return out;
}

std::optional<paper::LetterSentence> LetterSentences::correction_of(std::int64_t number) const {
  const auto entry = look_up_(number);
  if (!entry || !(entry->struck_by || entry->corrected_by)) return {};
  paper::LetterSentence out{entry->struck_by ? "struck" : "corrected", {}};
  put(out.values, "on", date(local_day(entry->entry.happened)));
  if (const auto correction = look_up_(entry->struck_by ? *entry->struck_by : *entry->corrected_by))
    put(out.values, "corrected_on", date(local_day(correction->happened)));
  return out;
}

}  // namespace trencher::commands
