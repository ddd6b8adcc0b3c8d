#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "book/queries.h"
#include "commands/cautions.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/lookup.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

constexpr const char* not_looked_up = "not looked up by this program for a wood of yours";
constexpr double newtons_per_lbf = 4.4482216152605;  // exact by definition
const std::vector<std::string> groups{"hardwood", "softwood", "grass"};
const std::vector<std::string> pores{"diffuse", "semi-ring", "ring", "nonporous"};

std::string pore_text(const Species& wood) {
  if (wood.pore == "diffuse") return "diffuse: much alike through the year's growth";
  if (wood.pore == "semi-ring")
    return "semi-ring: larger in the early wood, passing over gradually";
  if (wood.pore == "ring") return "ring: rows of large open pores in the early wood";
  if (wood.pore == "nonporous") return "none, as in all softwoods";
  return "not known";
}

std::string hardness_text(const Species& wood) {
  if (!wood.side_hardness_n) return "not known";
  return sourced(fmt::format("{} N ({:.0f} lbf), Janka.", *wood.side_hardness_n,
                             *wood.side_hardness_n / newtons_per_lbf),
                 wood.hardness_source, wood.hardness_standing);
}

std::string shrink_text(const Species& wood) {
  std::vector<std::string> parts;
  if (wood.radial_shrink_pct)
    parts.push_back(fmt::format("radial {:g} %", *wood.radial_shrink_pct));
  if (wood.tangential_shrink_pct)
    parts.push_back(fmt::format("tangential {:g} %", *wood.tangential_shrink_pct));
  if (parts.empty()) return "not known";
  return sourced(join(parts, ", ") + ", from green to oven-dry.", wood.shrink_source,
                 wood.shrink_standing);
}

std::string named_text(bool named, const std::string& as) {
  return named ? fmt::format("named as {}", as)
               : fmt::format(
                     "not named as {} in the sources used; that is no proof of the contrary", as);
}

std::string french_text(const Species& wood) {
  const std::string rule = wood.fr1945 == "all"     ? "listed for all foods"
                           : wood.fr1945 == "solid" ? "listed for solid foods"
                                                    : "not listed; the list is short";
  return rule + "." + (wood.fr1945_note.empty() ? "" : " " + wood.fr1945_note);
}

std::string trade_text(const Species& wood) {
  if (wood.cites_appendix.empty())
    return "not in the table of this program; ask before it crosses a border";
  return fmt::format("Appendix {}. {}", wood.cites_appendix, wood.cites_note);
}

Json json_of(const Species& wood, bool own) {
  const auto percent = [](const std::optional<double>& value) {
    return value ? Json::decimal(*value, 2) : Json();
  };
  Json out = Json::object();
  out.set("id", wood.id).set("common_name", wood.common_name);
  out.set("botanical_name", wood.botanical_name).set("group", wood.group).set("pore", wood.pore);
  out.set_or_null("side_hardness_n", Json(wood.side_hardness_n));
  out.set("hardness_source", wood.hardness_source).set("hardness_standing", wood.hardness_standing);
  out.set_or_null("radial_shrink_pct", percent(wood.radial_shrink_pct));
  out.set_or_null("tangential_shrink_pct", percent(wood.tangential_shrink_pct));
  out.set("shrink_source", wood.shrink_source).set("shrink_standing", wood.shrink_standing);
  out.set("health_note", wood.health_note).set("health_source", wood.health_source);
  out.set("toxic", wood.toxic).set("sensitiser", wood.sensitiser).set("oily", wood.oily);
  out.set("cites_appendix", wood.cites_appendix).set("cites_note", wood.cites_note);
  out.set("nut_family", wood.nut_family).set("food_code_named", wood.food_code_named);
  out.set("fr1945", wood.fr1945).set("fr1945_note", wood.fr1945_note);
  return out.set("notes", wood.notes).set("own", own);
}

Sheet sheet_of(const Species& wood, bool own) {
  Sheet out{wood.id, wood.common_name + (own ? " (yours)" : "")};
  out.aside = wood.botanical_name;
  out.json = json_of(wood, own);
  out.cautions = {dust_caution()};
  out.line("Botanical name", wood.botanical_name).line("Group", wood.group);
  out.line("Pores", pore_text(wood)).line("Side hardness", hardness_text(wood));
  out.line("Shrinkage", shrink_text(wood));
  out.line("Health", sourced(wood.health_note, wood.health_source, ""));
  out.line("Toxin", named_text(wood.toxic, "a direct toxin"));
  out.line("Sensitiser", named_text(wood.sensitiser, "a sensitiser or irritant"));
  out.line("Oily", wood.oily ? "yes: its oil can hinder glue and finish" : "not named as oily");
  out.line("Nut trees", wood.nut_family.empty() ? "" : "kin of: " + wood.nut_family);
  out.line("Trade (CITES)", own ? not_looked_up : trade_text(wood));
  out.line("US Food Code", wood.food_code_named ? "named in 4-101.17" : "not named in 4-101.17");
  out.line("French order 1945", own ? not_looked_up : french_text(wood));
  return out.line("Notes", wood.notes);
}

int look_up_species(Call& call) {
  const std::string id = parse_lookup(call, "wood, as hard-maple; 'species add' enters your own");
  std::vector<Sheet> sheets;
  for (const Species& wood : reference::species()) sheets.push_back(sheet_of(wood, false));
  if (has_book(call))
    for (const Species& wood : book::own_species(call.book()))
      sheets.push_back(sheet_of(wood, true));
  return look_up(call, {"Species", {"Species", "Name"}}, sheets, id);
}

// "6400N", "1450 lbf": newtons, in the range of the shipped table.
int parse_hardness(const std::string& text) {
  const auto end = text.find_first_not_of("0123456789");
  const std::string unit =
      end == std::string::npos ? "" : std::string(split(text.substr(end), ' ').back());
  if (end == 0 || end == std::string::npos || end > 6 || (unit != "N" && unit != "lbf"))
    throw Error::request(
        fmt::format("--hardness '{}' is no hardness; write it as 6400N or 1450lbf.", text));
  const double newtons = std::stod(text.substr(0, end)) * (unit == "N" ? 1 : newtons_per_lbf);
  if (newtons < 100 || newtons > 40000)
    throw Error::request(
        fmt::format("--hardness '{}' is outside 100 N to 40000 N (22 to 8992 lbf).", text));
  return static_cast<int>(std::lround(newtons));
}

double parse_shrinkage(const std::string& text, const std::string& name) {
  const double value = parse_moisture(text, name).value();
  if (value < 0.5 || value > 20)
    throw Error::request(
        fmt::format("{} '{}' is outside 0.5 to 20 %, from green to oven-dry.", name, text));
  return value;
}

void refuse_known(Call& call, const std::string& id) {
  const char* whose = reference::find_species(id)               ? "this program"
                      : book::find_own_species(call.book(), id) ? "the book"
                                                                : nullptr;
  if (whose)
    throw Error::request(
        fmt::format("The species '{}' is in {} already; give yours an id of its own.", id, whose));
}

int add_species(Call& call) {
  Species wood;
  std::string source, hardness, radial, tangential;
  call.word("ID", wood.id, "new id of a-z, 0-9 and hyphens, as river-red-gum");
  call.option("--common", "NAME", wood.common_name, "common name");
  call.option("--botanical", "NAME", wood.botanical_name, "botanical name");
  call.option("--group", "GROUP", wood.group, join(groups, ", "));
  call.option("--source", "TEXT", source,
              "where this is from: book and page, data sheet, supplier");
  call.option("--pore", "PORE", wood.pore, join(pores, ", "));
  call.option("--hardness", "FORCE", hardness, "side hardness (Janka), as 6400N or 1450lbf");
  call.option("--radial", "PCT", radial, "shrinkage from green to oven-dry");
  call.option("--tangential", "PCT", tangential, "shrinkage from green to oven-dry");
  call.option("--health", "TEXT", wood.health_note, "what is said of dust or contact");
  call.option("--health-source", "TEXT", wood.health_source, "who says so");
  call.flag("--toxic", wood.toxic, "the source calls it a direct toxin");
  call.flag("--sensitiser", wood.sensitiser, "the source calls it a sensitiser or irritant");
  call.flag("--oily", wood.oily, "the source calls it oily or waxy");
  call.option("--nut-family", "TEXT", wood.nut_family,
              "kin of a tree with nuts, as walnut (Juglandaceae)");
  call.parse();
  call.need(wood.id, "ID", "New id, as river-red-gum");
  if (wood.id != slug(wood.id))
    throw Error::request(
        fmt::format("The id '{}' must be of a-z, 0-9 and single hyphens, as river-red-gum.",
                    checked_text(wood.id, "The id")));
  refuse_known(call, wood.id);
  call.need(wood.common_name, "--common", "Common name");
  call.need(wood.botanical_name, "--botanical", "Botanical name");
  call.need(wood.group, "--group", {"Group", groups});
  Call::check_known(wood.group, "Group", groups);
  call.need(source, "--source", "Where this is from");
  if (!wood.pore.empty()) Call::check_known(wood.pore, "Pore", pores);
  for (auto [text, name] : {std::pair{&wood.common_name, "--common"},
                            {&wood.botanical_name, "--botanical"},
                            {&source, "--source"},
                            {&wood.health_note, "--health"},
                            {&wood.health_source, "--health-source"},
                            {&wood.nut_family, "--nut-family"}})
    if (!text->empty()) *text = checked_text(*text, name);
  if (wood.health_note.empty() != wood.health_source.empty())
    throw Error::request(
        "--health and --health-source go together: what is said, and who says it.");
  if (!hardness.empty()) {
    wood.side_hardness_n = parse_hardness(hardness);
    wood.hardness_source = source;
  }
  if (!radial.empty()) wood.radial_shrink_pct = parse_shrinkage(radial, "--radial");
  if (!tangential.empty()) wood.tangential_shrink_pct = parse_shrinkage(tangential, "--tangential");
  wood.notes = fmt::format("Source of this entry: {}", source);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  refuse_known(call, wood.id);
  Json body = to_json(wood);
  call.annotate(body);
  const std::int64_t entry = writing.append("species", body, stamp);
  writing.commit();
  return call.wrote(entry, wood.id, {},
                    fmt::format("Species '{}': {} ({}); entry {}.", wood.id, wood.common_name,
                                wood.botanical_name, entry));
}

}  // namespace

int species(Call& call) {
  return call.choose_if({"add"}).empty() ? look_up_species(call) : add_species(call);
}

}  // namespace trencher::commands
