// The sentences of an answer in the language of a letter: what stands in them is translated, dated,
// and said once.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/queries.h"
#include "engine/evidence.h"
#include "paper/language.h"
#include "paper/letter.h"

namespace trencher::commands {

class LetterSentences {
 public:
  // What an entry of the book says, if there is such an entry.
  using LookUp = std::function<std::optional<book::Effective>(std::int64_t)>;

  // `woods`: of the boards, in the language. Error::request for an unknown language.
  LetterSentences(LookUp look_up, std::string woods, std::string_view language);

  // Reasons that differ by their day alone (the coats of one tin) become one with all days.
  std::vector<paper::LetterSentence> reasons(const std::vector<engine::Because>& because) const;
  // Notes and what is missing: those that differ by their topic alone become one with all topics.
  std::vector<paper::LetterSentence> once(const std::vector<engine::Sentence>& said) const;
  // That an entry was corrected or struck later; absent where it was not.
  std::optional<paper::LetterSentence> correction_of(std::int64_t entry) const;

 private:
  using Values = std::vector<std::pair<std::string, std::string>>;
  std::string date(Day day) const { return language_.long_date(day); }
  std::string of(const engine::Sentence& said, const char* value) const;
  paper::LetterSentence bare(const engine::Sentence& said) const;  // without its topic
  std::string topic_of(const engine::Sentence& said) const;
  void lay_topics(const std::vector<std::string>& topics, paper::LetterSentence& sentence) const;
  void lay_tin(const engine::Sentence& said, Values& out) const;
  void lay_lists(const engine::Sentence& said, Values& out) const;

  LookUp look_up_;
  std::string woods_;
  paper::Language language_;
  paper::Words words_;
};

}  // namespace trencher::commands
