#include "commands/letter_wish.h"

#include <fmt/format.h>

#include "commands/output_file.h"
#include "commands/printed_text.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/language.h"

namespace trencher::commands {
namespace {

std::filesystem::path need_path(Call& call, std::string& typed) {
  std::filesystem::path path = checked_text(typed, "-o");
  if (path.extension() == ".pdf") return need_pdf_path(call, typed);
  if (path.extension() != ".txt")
    throw Error::request(fmt::format(
        "-o '{}' must end in .pdf or .txt: a letter is the one or the other.", path.string()));
  if (std::error_code ignored; std::filesystem::exists(path, ignored))
    throw Error::request(fmt::format(
        "-o '{}' exists already and is not replaced; name another file.", path.string()));
  return path;
}

}  // namespace

void LetterWish::declare(Call& call) {
  call.flag("--letter", shown, "the reply as text for an e-mail");
  call.option("-o", "FILE", file, "write the reply as a letter: FILE.pdf or FILE.txt");
  call.option("--language", "LANGUAGE", language, "of the letter: en, de, fr, es");
  call.option("--paper", "a4|letter", sheet, "sheet of the letter");
}

void LetterWish::check(Call& call) {
  if (!file.empty()) need_path(call, file);
  paper::sheet_size(sheet);
  Call::check_known(language, "Language", paper::languages());
}

std::vector<engine::Finding> write_letter(Call& call, const BatchView& view,
                                          const paper::LetterContent& content, LetterWish& wish) {
  if (!wish.file.empty()) {
    const std::filesystem::path path = need_path(call, wish.file);
    if (path.extension() == ".pdf")
      paper::write_letter(content, {paper::sheet_size(wish.sheet), call.now()}, path);
    else
      write_file_whole(path, paper::letter_text(content));
    if (!call.json()) call.say(fmt::format("The reply is in {}.", path.string()));
  } else if (!call.json()) {
    wish.text = paper::letter_text(content);
  }
  std::vector<engine::Finding> out = claims_in_print(card_texts(call, view), true);
  for (engine::Finding& claim : claims_in_print(stock_texts(view), false))
    out.push_back(std::move(claim));
  return out;
}

}  // namespace trencher::commands
