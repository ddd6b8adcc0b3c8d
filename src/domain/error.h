// The one exception that crosses folder borders. Its text is printed to the user as it stands: one
// sentence that names the thing, the value and the rule.
#pragma once

#include <algorithm>
#include <stdexcept>
#include <string>

namespace trencher {

class Error : public std::runtime_error {
 public:
  enum class Kind {
    request,  // what was asked is wrong: nothing written, status 2
    book,     // the book, the disk or a file failed: nothing written, status 3
  };

  static Error request(const std::string& sentence) { return {Kind::request, sentence}; }
  static Error book(const std::string& sentence) { return {Kind::book, sentence}; }

  Kind kind() const noexcept { return kind_; }

 private:
  Error(Kind kind, const std::string& sentence)
      : std::runtime_error(without_nul(sentence)), kind_(kind) {}

  // what() would end at it, and a text that is quoted may hold one.
  static std::string without_nul(std::string sentence) {
    std::replace(sentence.begin(), sentence.end(), '\0', '?');
    return sentence;
  }

  Kind kind_;
};

}  // namespace trencher
