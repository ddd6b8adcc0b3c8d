// An entry as a line of an export.
#pragma once

#include <optional>
#include <string_view>

#include "book/entry.h"
#include "domain/json.h"

namespace trencher::book {

Json line_of(const Entry& entry);
// Error::book or Error::request where a member is absent or of another type.
Entry entry_from_line(const Json& line);
// The same of a line that stands just as line_of() writes it, several times as fast; nothing where
// it does not, or is in doubt.
std::optional<Entry> read_entry_line(std::string_view line);

}  // namespace trencher::book
