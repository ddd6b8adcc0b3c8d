// The common part of the look-ups: a shipped table listed, or one thing of it shown with all that
// is said of it and where that comes from.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "commands/call.h"
#include "commands/cautions.h"

namespace trencher::commands {

// One thing, ready to be shown.
struct Sheet {
  std::string id, name;
  std::string second;                                      // in the list, a column between the two
  std::string aside;                                       // in the list, behind the name
  std::vector<std::pair<std::string, std::string>> lines;  // "Coats", "3"
  std::vector<Caution> cautions;
  Json json = Json::object();

  // Adds a line; one without text is left out.
  Sheet& line(const std::string& label, const std::string& text);
};

// What a look-up looks for ("Species"), and the head of its list.
struct Table {
  std::string what;
  std::vector<std::string> head;  // of id, second, name; two where there is no second
};

// Without `id` the list, else its sheet (Error::request with near matches where there is none).
int look_up(Call& call, const Table& table, const std::vector<Sheet>& sheets,
            const std::string& id);

// A look-up works without a book; where there is one, the maker's own things are among the others.
bool has_book(Call& call);

// Declares the optional ID and parses.
std::string parse_lookup(Call& call, const std::string& help);

// How a figure was come by, in plain words.
std::string standing_text(const std::string& standing);
// "Wood Handbook, Table 4-3 (read)"; `text` where there is no source.
std::string sourced(const std::string& text, const std::string& source,
                    const std::string& standing);

std::string yes_no(bool value);
std::string mechanism_text(Mechanism mechanism, bool water_borne);
// Both systems: there may be no book that says which.
std::string both(const std::optional<Celsius>& value);
std::string wait_text(const std::optional<Seconds>& wait);
// "20 °C (68 °F), 50 % humidity".
std::string reference_text(const std::optional<Celsius>& temp, const std::optional<Percent>& rh);
// What a kind holds by its nature.
std::string contents_text(const std::vector<std::string>& contains,
                          const std::string& animal_origin);

// Members for JSON; null where there is no figure.
Json celsius_json(const std::optional<Celsius>& value);
Json percent_json(const std::optional<Percent>& value);
Json seconds_json(const std::optional<Seconds>& value);

// What kinds of glue, finish and other have in common, as members and as the last lines of a sheet.
template <typename Kind>
Json kind_json(const Kind& kind) {
  Json out = Json::object();
  out.set("id", kind.id).set("name", kind.name).set("mechanism", to_string(kind.mechanism));
  out.set_or_null("lowest_temp_c", celsius_json(kind.lowest_temp));
  out.set_or_null("reference_temp_c", celsius_json(kind.reference_temp));
  out.set_or_null("reference_rh_pct", percent_json(kind.reference_rh));
  out.set("contains", Json::list(kind.contains)).set("animal_origin", kind.animal_origin);
  return out.set("notes", kind.notes).set("basis", kind.basis).set("standing", kind.standing);
}

template <typename Kind>
Sheet& kind_lines(Sheet& sheet, const Kind& kind) {
  sheet.line("Contains", contents_text(kind.contains, kind.animal_origin));
  sheet.line("Notes", kind.notes).line("Basis", kind.basis);
  return sheet.line("Standing", standing_text(kind.standing));
}

}  // namespace trencher::commands
