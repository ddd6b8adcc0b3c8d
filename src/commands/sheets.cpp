#include "commands/sheets.h"

#include "commands/sheet_parts.h"

namespace trencher::commands {
namespace {

std::vector<EntrySheet> house_sheets() {
  return {
      {"workshop.csv",
       "the workshop's settings over time",
       {"workshop"},
       {{"maker", Form::text, "maker", "name"},
        {"address", Form::text, "address", "postal"},
        {"contact", Form::text, "contact", "how to reach the maker"},
        {"country", Form::text, "country", "that the maker is in"},
        {"responsible", Form::text, "responsible", "who answers for its boards in the Union"},
        {"markets", Form::texts, "markets", "where its boards go"},
        {"zone", Form::text, "zone", "of its clock"},
        {"units", Form::text, "units", "metric or us"},
        {"cross_contact", Form::json, "cross_contact",
         "allergens that the shop also handles; blank: nobody has said"},
        {"hours", Form::json, "hours", "in the shop, minutes of the day"},
        {"days_off", Form::texts, "days_off", "days"},
        {"market_days", Form::json, "market_days", "days"},
        {"rack", Form::number, "rack", "boards that it holds"},
        {"minutes", Form::json, "minutes", "the maker's attention to a board, by step"}}},
      {"workers.csv",
       "who writes in the book",
       {"worker"},
       {{"worker", Form::number, "worker", "number, as in the column 'by'"},
        {"name", Form::person, "person", "name"},
        {"person", Form::text, "person", "the same as an id of people.csv"},
        {"seal", Form::text, "seal", "of the person's row"},
        {"may_sign_off", Form::yes, "may_sign_off", "may decide that boards leave"}}},
      {"places.csv",
       "places and their usual air",
       {"place"},
       {{"place", Form::text, "place", "id"},
        {"name", Form::text, "name", "name"},
        {"temp_c", Form::thousand, "temp_mc", "where nothing was read"},
        {"rh_pct", Form::tenth, "rh_permille", "where nothing was read"},
        made_wrong}},
      {"rules.csv",
       "rules of markets that the maker added, a row for each",
       {"rules"},
       {{"file_name", Form::text, "file_name", "of the file that they came from"},
        {"key", Form::text, "*key", "its name"},
        {"market", Form::text, "*market", "whose rule it is"},
        {"cite", Form::text, "*cite", "where it stands"},
        {"asks", Form::text, "*asks", "what it asks"},
        {"whole", Form::json, "*", "all of it"}},
       "rules"},
      {"forgotten.csv",
       "people who were forgotten",
       {"forget"},
       {{"person", Form::text, "person", "the id that they had"}}},
      {"corrections.csv",
       "corrections and strikes; what they changed stands corrected in the other files",
       {"correction", "strike"},
       {{"of_entry", Form::number, "entry", "the entry that it mends or takes out"},
        {"why", Form::text, "why", "the reason"},
        {"version", Form::number, "version", "of the new body"},
        {"happened_at", Form::text, "happened_at", "when it happened, said anew, UTC"},
        {"happened_offset_min", Form::number, "happened_offset", "local time minus UTC then"},
        {"body", Form::json, "body", "the whole new body"},
        made_wrong}},
      {"rescued.csv",
       "rescues of a damaged book, and what was lost",
       {"rescued"},
       {{"source", Form::text, "source", "book or export"},
        {"source_sha256", Form::text, "source_sha256", "of the damaged file"}}},
  };
}

}  // namespace

const std::vector<EntrySheet>& sheets() {
  static const std::vector<EntrySheet> all = [] {
    std::vector<EntrySheet> out;
    for (auto part : {stock_sheets(), work_sheets(), leaving_sheets(), house_sheets()})
      out.insert(out.end(), part.begin(), part.end());
    return out;
  }();
  return all;
}

}  // namespace trencher::commands
