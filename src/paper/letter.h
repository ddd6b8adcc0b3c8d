// The reply to somebody who asks what is on a board, or who found something wrong with one: as text
// for an e-mail and as a PDF. It greets without a name: who asked is never kept, nor what for.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

// A part of templates/letter/<language>.mustache with its values, which are in that language.
struct LetterSentence {
  std::string part;
  std::vector<std::pair<std::string, std::string>> values;
  bool operator==(const LetterSentence&) const = default;
};

struct LetterTopic {
  std::string about;   // "walnut"
  std::string result;  // contains, listed (of a list: what is on it), none-recorded, not-known
  std::vector<LetterSentence> because;  // of this topic alone
};

// Boards of which the same is to be said.
struct LetterGroup {
  std::vector<std::string> codes;
  std::vector<LetterTopic> topics;
  std::vector<LetterSentence> for_all;  // reasons that several topics have in common
  std::vector<LetterSentence> trail;    // how the board came to be, in order, each once
  std::vector<LetterSentence> missing;  // what would make the answers firmer, each once
};

enum class LetterKind { answer, complaint };

struct LetterContent {
  LetterKind kind = LetterKind::answer;
  std::string language = "en";            // en, de, fr, es
  std::string use;                        // "cutting board"
  std::string size;                       // "400 × 250 × 22 mm"
  std::string woods;                      // "hard maple (Acer saccharum)"; empty: not recorded
  std::string finished_on;                // day of the last coat; empty: not known
  std::vector<LetterGroup> groups;        // at least one, with at least one code
  std::vector<LetterSentence> notes;      // what holds for several topics, each once
  std::vector<LetterSentence> corrected;  // entries that were corrected later
  std::string maker, address, contact;
  std::string date;           // of the letter: "5 December 2026"
  std::int64_t position = 0;  // number of the journal's last entry
  std::string last_hash;      // of that entry, hexadecimal; its beginning is printed
  std::string complaint;      // what is wrong with the board; read for a complaint alone
  std::string learned_on;     // and when the maker learned of it
  int shared = 0;             // how many other boards have a tin in common with it
};

struct LetterOptions {
  Size sheet = a4;
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

// The subject on the first line, and lines of at most 72 columns (a longer word stands alone).
// Error request: an unknown language, no board.
std::string letter_text(const LetterContent& content);

// The same as a PDF file, which is either whole or untouched. Error request: as letter_text, and a
// text that cannot be printed. Error book: the font or the file.
void write_letter(const LetterContent& content, const LetterOptions& options,
                  const std::filesystem::path& path);

}  // namespace trencher::paper
