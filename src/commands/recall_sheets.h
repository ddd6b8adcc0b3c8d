// The two sheets of a recall, as CSV: RFC 4180, UTF-8, ISO dates, a row of headings.
//
// pieces.csv has the shape of the electronic sortable spreadsheet of 21 CFR 1.1455(c)(3)(ii) (read
// in a law firm's note; the section itself from memory), which the FDA asks of those who hold
// listed foods, in an outbreak or recall; boards are none. One row for each piece and withdrawn
// thing.
#pragma once

#include <string>
#include <vector>

#include "commands/recall_pieces.h"

namespace trencher::commands {

// In a trial the first column says PRACTICE in every row.
std::string pieces_sheet(Call& call, const std::vector<RecalledPiece>& pieces, bool practice);
// One row a person; those who were forgotten are said to be so.
std::string people_sheet(Call& call, const std::vector<RecalledPerson>& people, bool practice);
// What stands for a name that the vault does not hold.
std::string gone_words(Call& call, const RecalledPerson& person);

inline constexpr const char* forgotten_person = "forgotten; no contact";

}  // namespace trencher::commands
