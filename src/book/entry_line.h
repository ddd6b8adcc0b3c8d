// An entry as a line of an export.
#pragma once

#include "book/entry.h"
#include "domain/json.h"

namespace trencher::book {

Json line_of(const Entry& entry);
// Error::book or Error::request where a member is absent or of another type.
Entry entry_from_line(const Json& line);

}  // namespace trencher::book
