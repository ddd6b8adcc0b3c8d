// The kinds of entry: what each makes and which ids it speaks of. The names reach the disk and
// never change; a changed body gets a new version beside the old, which stays readable.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/json.h"

namespace trencher::book {

struct Made {
  std::string id, class_name;
};

struct Facts {
  std::vector<Made> made;             // ids that this entry brings into being
  std::vector<std::string> mentions;  // ids that it speaks of, those made among them
};

std::vector<std::string_view> kinds();  // every one
// The version in which entries of this kind are written today; 0: no such kind.
std::int64_t version_written(std::string_view kind);
// Error::book where the kind or its version is unknown, or the body lacks what it must have.
Facts facts_of(std::string_view kind, std::int64_t version, const Json& body);
bool is_step(std::string_view kind);
bool is_turn(std::string_view kind);       // split or take-back
bool is_amendment(std::string_view kind);  // correction or strike
// The version of the body that a correction puts in the place of one of `version`.
std::int64_t corrected_version(const Json& correction, std::int64_t version);

// How ids that are no codes are named in the state, so that they cannot be taken for one another.
std::string worker_id(std::int64_t worker);
std::string place_id(std::string_view place);
std::string species_id(std::string_view species);
std::string person_id(std::string_view person);
std::string rule_id(std::string_view rule);
std::string entry_id(std::int64_t number);
inline constexpr const char* workshop_id = "workshop";

// "F" and 12 of "F12"; "26-" and 14 of "26-014". Number 0 where the id counts nothing.
struct Counted {
  std::string prefix;
  std::int64_t number = 0;
};
Counted counted(std::string_view id);

// Codes of the named pieces of a batch (empty: none).
std::vector<std::string> piece_codes(std::string_view batch, const std::vector<int>& pieces);

}  // namespace trencher::book
