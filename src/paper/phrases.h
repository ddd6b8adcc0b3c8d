// Wording of the papers: templates/<paper>/<language>.mustache, compiled in. A template is lines of
// "part: text" and of comments that begin with #. The layout decides where a part goes, the file
// what it says, so that another language is another file. Values are put in by shown(); nothing
// else is escaped, and what is put in is never read as a template.
#pragma once

#include <initializer_list>
#include <kainjow/mustache.hpp>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace trencher::paper {

struct Phrase {
  std::string part;
  std::string text;
};

// Error request where the paper is not there in that language; names those that are.
std::string_view template_text(std::string_view paper, std::string_view language);

std::string fill_in(std::string_view text, const kainjow::mustache::data& values);

// Comments and lines without a text are left out. A line that is no "part: text" is a mistake in
// the template: std::logic_error.
std::vector<Phrase> phrases(std::string_view text);

// Phrases looked up one by one.
class Words {
 public:
  Words(std::string_view paper, std::string_view language);

  // The phrase with its {{names}} filled in. A part that the template lacks is std::logic_error.
  using Value = std::pair<std::string, std::string>;
  std::string operator()(std::string_view part, std::initializer_list<Value> values = {}) const;
  std::string operator()(std::string_view part, std::span<const Value> values) const;

 private:
  std::vector<Phrase> phrases_;
};

}  // namespace trencher::paper
