// The notice of a product safety recall: one for each person who has boards of it, and one for the
// stall or shop, addressed to everybody. What it must hold is Regulation (EU) 2023/988 article
// 36(2). To somebody whose boards have all come back it says so, and not to stop using them. What
// the maker has not said yet is left as ruled lines that say what belongs there.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

struct NoticeBoard {
  std::string code;         // "26-014-03-24"
  std::string description;  // "Cutting board, 400 × 250 × 22 mm, hard maple (Acer saccharum)"
  std::string left_on;      // the date that it left the workshop on; empty: it is there
  std::string back_on{};    // the date that it came back on from them; empty: they have it
};

struct NoticePicture {
  std::string caption;     // "26-014"
  std::string plain_jpeg;  // made by plain_picture
};

// All texts come already in the language.
struct NoticeContent {
  std::string language = "en";  // en, de, fr, es
  std::string to, to_contact;   // empty: the notice for the shop
  std::vector<NoticeBoard> boards;
  std::vector<NoticePicture> pictures;  // of the batches that have one
  bool pictures_whole = false;          // no batch lacks one: no frame is left for it
  std::string product;                  // what is withdrawn, in plain words, with lot and supplier
  std::string supplier_says;            // why, in the words of the withdrawal; may be empty
  std::string risk, to_do;              // the maker's words; empty: ruled lines
  // repair, replacement, refund; fewer than two: boxes to tick. Another id is Error request.
  std::vector<std::string> remedies;
  std::string maker, address, contact;
  std::string made_on;  // "5 December 2026"
};

struct NoticeOptions {
  Size sheet = a4;
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

// Writes the notices, each on pages of its own, to one PDF file, which is either whole or
// untouched. Error request: no notice, a notice of no board, an unknown language or remedy, a text
// that cannot be printed. Error book: the font or the file.
void write_notice(const std::vector<NoticeContent>& notices, const NoticeOptions& options,
                  const std::filesystem::path& path);

// Words that lower a risk ("voluntary", "precautionary", "in rare situations") in any of the four
// languages: those that the text holds, as they stand in it but in small letters, each once.
std::vector<std::string> softening_words(std::string_view text);

}  // namespace trencher::paper
