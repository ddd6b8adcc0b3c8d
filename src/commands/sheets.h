// Which entries go into which sheet of `trencher export --csv`, and by which columns.
#pragma once

#include <string_view>
#include <vector>

namespace trencher::commands {

// How a member of a body is written into a cell.
enum class Form {
  text,      // a text or a day, as it stands
  texts,     // a list of texts, a blank between them
  lines,     // a list of texts that hold blanks, "; " between them
  pieces,    // numbers of pieces, a blank between them; absent: all
  number,    // as it stands
  thousand,  // thousandths: of a degree, a millimetre, a millilitre, a gram
  tenth,     // tenths of a per cent
  yes,       // yes, no, or nothing where it is absent
  person,    // a person's id, written as the name
  seconds,   // since 1970, written as the local time
  json,      // whatever it is, as JSON
  usual,     // of a label: the figures that are the kind's usual ones
};

struct SheetColumn {
  std::string_view name;
  Form form;
  // Names of members from the body on, a point between them. "*" first: from the row's item on
  // (of a list, its place).
  std::string_view member;
  std::string_view says;
};

struct EntrySheet {
  std::string_view file, says;
  std::vector<std::string_view> kinds;
  std::vector<SheetColumn> columns;
  std::string_view rows = {};  // a list, for each item of which the entry has a row
};

// One for each kind of thing that entries tell of, in the order of the trade.
const std::vector<EntrySheet>& sheets();

}  // namespace trencher::commands
