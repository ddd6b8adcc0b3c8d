// What is on an invented board, as the book would give it, and the entries that its answers name.
#pragma once

#include "book/queries.h"
#include "engine/evidence.h"
#include "reference/reference.h"

namespace trencher::commands {

inline Moment at_noon(Day day) {
  return {Instant(std::chrono::sys_days(day)) + std::chrono::hours(12), 0};
}

inline Tin sample_tin(std::int64_t entry, const char* id, const char* stock, const char* kind,
                      const char* name, std::vector<std::string> contains) {
  Tin tin;
  tin.entry = entry;
  tin.id = id;
  tin.stock = stock;
  tin.kind = kind;
  tin.name = name;
  tin.supplier = "Mill & Co";
  tin.lot = "77";
  tin.contains = std::move(contains);
  return tin;
}

// Glued up, oiled twice with walnut oil; of the glue a complete ingredient list is at hand.
inline engine::PieceContents sample_contents() {
  using namespace std::chrono;
  engine::PieceContents out;
  out.piece = "26-014-03-24";
  out.batch = "26-014";
  out.batch_entry = 10;
  WoodLot maple, walnut;
  maple.entry = 5;
  maple.id = "W1";
  maple.species = "hard-maple";
  maple.common_name = "Hard maple (sugar maple)";
  maple.botanical_name = "Acer saccharum";
  walnut.entry = 6;
  walnut.id = "W2";
  walnut.species = "black-walnut";
  walnut.common_name = "Black walnut";
  walnut.botanical_name = "Juglans nigra";
  out.wood = {maple, walnut};
  out.nut_family = {{"black-walnut", "walnut"}};
  out.tins = {sample_tin(7, "G1", "glue", "pva-d3", "Bench glue", {"per-label"}),
              sample_tin(8, "F1", "finish", "walnut-oil", "Kitchen oil", {"tree-nut-walnut"})};
  out.steps = {{"G1", {11}}, {"F1", {12, 13}}};
  Statement list;
  list.entry = 9;
  list.subject = "G1";
  list.about = "ingredients";
  list.ingredients = {"polyvinyl acetate", "water"};
  list.complete = true;
  list.dated = 2026y / May / 3;
  out.statements = {list};
  out.glue_logged = true;
  out.cross_contact_declared = true;
  out.cross_contact_entry = 2;
  out.topic_market = "eu";
  return out;
}

inline std::optional<book::Effective> sample_entry(std::int64_t number) {
  using namespace std::chrono;
  if (number < 1 || number > 20) return {};
  book::Effective out;
  out.entry.number = number;
  out.happened = at_noon(2026y / December / day(static_cast<unsigned>(number)));
  out.entry.happened = out.happened;
  if (number == 8) out.corrected_by = 15;
  return out;
}

inline const std::vector<Allergen>& all_allergens() {
  static const std::vector<Allergen> all(reference::allergens().begin(),
                                         reference::allergens().end());
  return all;
}

}  // namespace trencher::commands
