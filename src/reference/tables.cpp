#include "reference/tables.h"

#include <chrono>
#include <cmath>
#include <string>
#include <unordered_set>

#include "reference/row.h"

namespace trencher::reference {
namespace {

constexpr Seconds one_minute{60}, one_hour{3600}, one_day{86400};

template <typename Item>
std::vector<Item> read_rows(std::string_view text, std::string_view file, std::string_view id,
                            Item (*read)(const Row&)) {
  const auto table = exchange::CsvTable::parse(text, file);
  std::vector<Item> items;
  std::unordered_set<std::string> seen;
  items.reserve(table.size());
  for (std::size_t i = 0; i < table.size(); ++i) {
    const Row row(table, i);
    if (!seen.insert(row.required_text(id)).second) row.refuse(id, "new: an earlier row has it");
    items.push_back(read(row));
  }
  return items;
}

// 'standing' of a figure: present exactly where the figure is.
std::string standing(const Row& row, std::string_view column, bool present) {
  return present ? row.choice(column, {"read", "memory"}) : row.choice(column, {""});
}

Species species_of(const Row& row) {
  Species out;
  out.id = row.text("id");
  out.common_name = row.required_text("common_name");
  out.botanical_name = row.required_text("botanical_name");
  out.group = row.choice("group", {"hardwood", "softwood", "grass"});
  out.pore = row.choice("pore", {"diffuse", "semi-ring", "ring", "nonporous", ""});
  out.side_hardness_n = row.whole("side_hardness_N", 100, 40000);
  out.hardness_source = row.sources("hardness_source");
  out.hardness_standing = standing(row, "hardness_standing", out.side_hardness_n.has_value());
  out.radial_shrink_pct = row.number("radial_shrink_pct", 0.5, 20);
  out.tangential_shrink_pct = row.number("tangential_shrink_pct", 0.5, 20);
  out.shrink_source = row.sources("shrink_source");
  out.shrink_standing = standing(row, "shrink_standing", out.tangential_shrink_pct.has_value());
  out.health_note = row.text("health_note");
  out.health_source = row.sources("health_source");
  out.toxic = row.flag("toxic");
  out.sensitiser = row.flag("sensitiser");
  out.oily = row.flag("oily");
  out.cites_appendix = row.choice("cites_appendix", {"", "I", "II"});
  out.cites_note = row.text("cites_note");
  out.nut_family = row.text("nut_family");
  out.food_code_named = row.flag("food_code_named");
  out.fr1945 = row.choice("fr1945", {"", "all", "solid"});
  out.fr1945_note = row.text("fr1945_note");
  out.notes = row.text("notes");
  return out;
}

// What every kind that a tin can be of has: how it sets, what it holds, and what that rests on.
template <typename Kind>
Kind kind_of(const Row& row) {
  Kind out;
  out.id = row.text("id");
  out.name = row.required_text("name");
  out.mechanism = row.mechanism("mechanism");
  out.lowest_temp = row.celsius("min_apply_c");
  out.reference_temp = row.celsius("reference_temp_c");
  out.reference_rh = row.percent("reference_rh_pct");
  out.contains = row.list("contains");
  out.animal_origin = row.choice("animal_origin", {"yes", "no", "per-label"});
  out.notes = row.text("notes");
  out.basis = row.required_text("basis");
  out.standing = row.choice("standing", {"read", "memory", "common practice"});
  return out;
}

FinishKind finish_of(const Row& row) {
  auto out = kind_of<FinishKind>(row);
  out.water_borne = row.flag("water_borne");
  out.ingredients = row.list("ingredients");
  out.coats = row.whole("coats_typical", 1, 20);
  out.recoat_min = row.wait("recoat_min_h", one_hour);
  out.recoat_max = row.wait("recoat_max_h", one_hour);
  out.handle = row.wait("handle_h", one_hour);
  out.pack = row.wait("pack_d", one_day);
  out.food_contact = row.wait("food_contact_d", one_day);
  if (const auto m2 = row.number("coverage_m2_per_l", 1, 100))
    out.coverage = Coverage{std::llround(*m2 * 10000)};
  out.highest_rh = row.percent("max_rh_pct");
  out.self_heating_rags = row.flag("self_heating_rags", "yes", "no");
  out.solvent = row.required_text("solvent");
  out.on_cutting_surface = row.choice("on_cutting_surface", {"fine", "caution", "stop"});
  out.reoil_months = row.whole("reoil_months", 1, 60);
  out.us_status = row.required_text("us_status");
  return out;
}

GlueKind glue_of(const Row& row) {
  auto out = kind_of<GlueKind>(row);
  out.en204_class = row.choice("en204_class", {"", "D1", "D2", "D3", "D4"});
  out.hp1_type = row.choice("hp1_type", {"", "I", "II"});
  out.open = row.wait("open_min", one_minute);
  out.clamp = row.wait("clamp_h", one_hour);
  out.full_cure = row.wait("full_cure_h", one_hour);
  out.wet_use = row.choice("wet_use", {"fine", "caution", "stop"});
  return out;
}

OtherKind other_of(const Row& row) {
  auto out = kind_of<OtherKind>(row);
  out.role =
      row.choice("role", {"filler", "dye", "feet", "cord", "inlay", "plug", "hardware", "wipe"});
  out.full_cure = row.wait("full_cure_h", one_hour);
  out.stays = row.flag("stays", "yes", "no");
  out.on_food_face = row.choice("on_food_face", {"fine", "caution", "stop"});
  return out;
}

Allergen allergen_of(const Row& row) {
  Allergen out;
  out.id = row.text("id");
  out.name = row.required_text("name");
  out.group = row.choice("group", {"allergen", "substance"});
  const auto listed = [&](std::string_view market) { return row.flag(market, "listed"); };
  out.us = listed("us");
  out.eu = listed("eu");
  out.uk = listed("uk");
  out.ca = listed("ca");
  out.anz = listed("anz");
  out.parent = row.text("parent");
  out.animal = row.flag("animal");
  out.notes = row.text("notes");
  out.source_keys = row.text("source");
  out.standing = row.choice("standing", {"read", "memory"});
  return out;
}

NeverSaid never_said_of(const Row& row) {
  NeverSaid out;
  out.phrase = row.text("phrase");
  out.language = row.choice("language", {"en", "de", "fr", "es"});
  out.denial = row.choice("group", {"claim", "denial"}) == "denial";
  out.instead = out.denial ? row.text("instead") : row.required_text("instead");
  return out;
}

Source source_of(const Row& row) {
  return {row.text("key"), row.required_text("what"),
          row.choice("standing", {"read", "read in part", "read as quoted", "memory",
                                  "common practice", "ours"})};
}

}  // namespace

std::vector<Species> read_species(std::string_view text, std::string_view file) {
  return read_rows(text, file, "id", species_of);
}

std::vector<FinishKind> read_finishes(std::string_view text, std::string_view file) {
  return read_rows(text, file, "id", finish_of);
}

std::vector<GlueKind> read_glues(std::string_view text, std::string_view file) {
  return read_rows(text, file, "id", glue_of);
}

std::vector<OtherKind> read_others(std::string_view text, std::string_view file) {
  return read_rows(text, file, "id", other_of);
}

std::vector<Allergen> read_allergens(std::string_view text, std::string_view file) {
  return read_rows(text, file, "id", allergen_of);
}

std::vector<NeverSaid> read_never_said(std::string_view text, std::string_view file) {
  return read_rows(text, file, "phrase", never_said_of);
}

std::vector<Source> read_sources(std::string_view text, std::string_view file) {
  return read_rows(text, file, "key", source_of);
}

std::string row_alone(std::string_view table, std::string_view id) {
  if (id.empty() || id.find_first_of(",\"\r\n") != std::string_view::npos) return {};
  const std::size_t before = table.find("\n" + std::string(id) + ",");
  if (before == std::string_view::npos) return {};
  bool quoted = false;
  std::size_t end = before + 1;
  for (; end < table.size() && (quoted || table[end] != '\n'); ++end)
    if (table[end] == '"') quoted = !quoted;
  return std::string(table.substr(0, table.find('\n') + 1))
      .append(table.substr(before + 1, end - before - 1));
}

}  // namespace trencher::reference
