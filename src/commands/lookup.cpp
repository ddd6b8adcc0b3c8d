#include "commands/lookup.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "commands/choices.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr const char* first_of_all =
    "The product's label, its safety data sheet and local rules come first.";

std::string join_filled(std::vector<std::string> parts) {
  std::erase(parts, "");
  return join(parts, ", ");
}

int show_list(Call& call, const Table& table, const std::vector<Sheet>& sheets) {
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const Sheet& sheet : sheets) {
    out.push(sheet.json);
    rows.push_back({sheet.id, join_filled({sheet.name, sheet.aside})});
    if (table.head.size() > 2) rows.back().insert(rows.back().begin() + 1, sheet.second);
  }
  if (!call.json()) {
    call.table(table.head, rows);
    call.out() << '\n';
    call.say(fmt::format("With an id, more is shown, and where it comes from. {}", first_of_all));
  }
  return call.done(out);
}

int show_sheet(Call& call, const Sheet& sheet) {
  if (!call.json()) {
    call.say(fmt::format("{}: {}", sheet.id, sheet.name));
    std::size_t width = 0;
    for (const auto& [label, text] : sheet.lines) width = std::max(width, display_width(label));
    for (const auto& [label, text] : sheet.lines)
      call.say_list(fmt::format("  {}:{}", label, std::string(width - display_width(label), ' ')),
                    text);
    for (const Caution& caution : sheet.cautions)
      call.say_list("  Mind:", fmt::format("{} ({})", caution.text, caution.source));
    call.say(first_of_all);
  }
  return call.done(sheet.json);
}

}  // namespace

Sheet& Sheet::line(const std::string& label, const std::string& text) {
  if (!text.empty()) lines.emplace_back(label, text);
  return *this;
}

int look_up(Call& call, const Table& table, const std::vector<Sheet>& sheets,
            const std::string& id) {
  if (id.empty()) return show_list(call, table, sheets);
  const std::string lists = fmt::format("'trencher {}' lists them", call.name());
  Call::check_known(id, table.what, ids_of(sheets), {{}, lists});
  return show_sheet(call, *std::find_if(sheets.begin(), sheets.end(),
                                        [&](const Sheet& s) { return s.id == id; }));
}

bool has_book(Call& call) {
  try {
    std::error_code ignored;
    return std::filesystem::exists(call.book_path(), ignored);
  } catch (const Error&) {  // no book is named
    return false;
  }
}

std::string parse_lookup(Call& call, const std::string& help) {
  std::string id;
  call.word("ID", id, help + "; all of them if left out");
  call.parse();
  return id;
}

std::string standing_text(const std::string& standing) {
  if (standing == "read") return "read in the source";
  if (standing == "read in part") return "read in part";
  if (standing == "memory") return "from memory, not checked against the page";
  if (standing == "common practice") return "common practice, no source";
  if (standing == "ours") return "a rule of this program that no source gives";
  return standing;
}

std::string sourced(const std::string& text, const std::string& source,
                    const std::string& standing) {
  if (text.empty() || source.empty()) return text;
  if (standing.empty()) return fmt::format("{} Source: {}.", text, source);
  return fmt::format("{} Source: {}; {}.", text, source, standing_text(standing));
}

std::string yes_no(bool value) { return value ? "yes" : "no"; }

std::string mechanism_text(Mechanism mechanism, bool water_borne) {
  switch (mechanism) {
    case Mechanism::non_drying:
      return "never hardens: it soaks in and the rest is wiped off";
    case Mechanism::wax_set:
      return "stiffens as it cools or as what carries it leaves";
    case Mechanism::oxidative:
      return "takes up oxygen from the air";
    case Mechanism::solvent_evaporation:
      return water_borne ? "dries as its water leaves" : "dries as its solvent leaves";
    case Mechanism::coalescing:
      return "its drops fuse to a film as the water leaves";
    case Mechanism::two_part:
      return "resin and hardener react";
    case Mechanism::water_glue:
      return "sets as its water leaves the joint";
    case Mechanism::moisture_glue:
      return "takes up water from air and wood";
    case Mechanism::none:
      break;
  }
  return "nothing dries or reacts";
}

std::string both(const std::optional<Celsius>& value) {
  return value ? fmt::format("{} ({})", show(*value, Units::metric), show(*value, Units::us)) : "";
}

std::string wait_text(const std::optional<Seconds>& wait) { return wait ? show(*wait) : ""; }

std::string reference_text(const std::optional<Celsius>& temp, const std::optional<Percent>& rh) {
  return join_filled({both(temp), rh ? show(*rh) + " humidity" : ""});
}

std::string contents_text(const std::vector<std::string>& contains,
                          const std::string& animal_origin) {
  std::vector<std::string> out;
  bool label = animal_origin == "per-label";
  for (const std::string& id : contains) {
    if (id == "per-label")
      label = true;
    else
      out.push_back(allergen_name(id));
  }
  // Where even its nature is left to the label, nothing may sound like absence.
  if (out.empty() && label && animal_origin != "yes") return "only the label or a statement says.";
  std::string text = out.empty() ? "nothing by its nature" : join(out, "; ");
  if (animal_origin == "yes") text += "; of animal origin";
  return text + (label ? "; what else it holds, only the label or a statement says."
                       : ". Whether a tin holds more, only its statement says.");
}

Json celsius_json(const std::optional<Celsius>& value) {
  return value ? Json::decimal(value->degrees(), 1) : Json();
}

Json percent_json(const std::optional<Percent>& value) {
  return value ? Json::decimal(value->value(), 1) : Json();
}

Json seconds_json(const std::optional<Seconds>& value) {
  return value ? Json(static_cast<std::int64_t>(value->count())) : Json();
}

}  // namespace trencher::commands
