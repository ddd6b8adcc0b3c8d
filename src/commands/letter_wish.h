// The wish for a letter: to standard output, or to a file by its ending.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"
#include "engine/finding.h"
#include "paper/letter.h"

namespace trencher::commands {

struct LetterWish {
  bool shown = false;
  std::string file, language = "en", sheet = "a4";
  std::string text;  // of a letter that is to be shown, once it is made

  void declare(Call& call);
  // Error::request for a file that must not be written, before anything is.
  void check(Call& call);
  bool any() const { return shown || !file.empty(); }
};

// Writes it to its file, or puts it into the wish's text for the caller to show. Returns findings
// on what it quotes of the maker's own words.
std::vector<engine::Finding> write_letter(Call& call, const BatchView& view,
                                          const paper::LetterContent& content, LetterWish& wish);

}  // namespace trencher::commands
