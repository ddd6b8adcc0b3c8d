// What backup, export and import report of a copy.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "commands/call.h"

namespace trencher::commands {

inline constexpr const char* mind_copy =
    "it holds the names, contacts and papers of the book, and keeps what the book forgets later. "
    "Put "
    "it where strangers cannot read it.";
inline constexpr const char* mind_book =
    "write in one book only. Two copies that are both written in can never be joined again.";

// Prints {"file","entries","last_hash"} and `more`, or `what` ("Backup") with the same, and `mind`.
// Returns status 0.
int report_copy(Call& call, const std::string& what, const std::filesystem::path& file,
                std::int64_t entries, const std::string& last_hash, const char* mind,
                const Json& more = Json::object());

}  // namespace trencher::commands
