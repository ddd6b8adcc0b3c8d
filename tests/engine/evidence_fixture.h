// Pieces with little on them for the tests of evidence: a glue, a finish, and papers about them.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <string>
#include <vector>

#include "engine/evidence.h"

namespace evidence_fixture {

using namespace trencher;
using engine::Answer;
using engine::answer;
using engine::PieceContents;

inline constexpr const char* yes = "contains";
inline constexpr const char* none = "none recorded";
inline constexpr const char* unknown = "not known";

inline Allergen row(std::string id, std::string name, std::string markets,
                    std::string parent = "") {
  Allergen a;
  a.id = std::move(id);
  a.name = std::move(name);
  a.group = markets == "-" ? "substance" : "allergen";
  const auto on = [&](const char* market) { return markets.find(market) != std::string::npos; };
  a.us = on("us");
  a.eu = on("eu");
  a.uk = on("uk");
  a.ca = on("ca");
  a.anz = on("anz");
  a.parent = std::move(parent);
  return a;
}

// The 14 of the EU's Annex II and the 9 of US law (21 USC 321(qq)), by our ids, with some others.
inline const std::vector<std::string> eu_14{
    "gluten-cereals", "crustacea", "egg",     "fish",   "peanut",    "soy",   "milk",
    "tree-nut",       "celery",    "mustard", "sesame", "sulphites", "lupin", "molluscs"};
inline const std::vector<std::string> us_9{"milk",  "egg",    "fish", "crustacea", "tree-nut",
                                           "wheat", "peanut", "soy",  "sesame"};

inline std::vector<Allergen> table() {
  const char* all = "us eu uk ca anz";
  std::vector<Allergen> out{
      row("gluten-cereals", "Cereals that contain gluten (wheat, rye)", "eu uk ca anz"),
      row("wheat", "Wheat", all, "gluten-cereals"),
      row("crustacea", "Crustacean shellfish", all),
      row("egg", "Egg", all),
      row("fish", "Fish", all),
      row("peanut", "Peanut (groundnut)", all),
      row("soy", "Soybean", all),
      row("milk", "Milk", all),
      row("tree-nut", "Tree nuts (the family)", all),
      row("tree-nut-walnut", "Walnut", all, "tree-nut"),
      row("tree-nut-almond", "Almond", all, "tree-nut"),
      row("tree-nut-pine", "Pine nut", "us ca anz", "tree-nut"),
      row("tree-nut-chestnut", "Chestnut", "", "tree-nut"),
      row("celery", "Celery", "eu uk"),
      row("mustard", "Mustard", "eu uk ca"),
      row("sesame", "Sesame", all),
      row("sulphites", "Sulphur dioxide and sulphites", "eu uk ca anz"),
      row("lupin", "Lupin", "eu uk anz"),
      row("molluscs", "Molluscs", "eu uk ca anz"),
      row("linseed", "Linseed (flaxseed)", "-"),
      row("bee-product", "Bee products (beeswax, propolis, honey)", "-"),
      row("animal-derived", "Animal-derived (hide glue, shellac)", "-")};
  for (Allergen& a : out)
    a.animal = std::set<std::string>{"milk", "egg", "fish", "crustacea", "molluscs", "bee-product"}
                   .contains(a.id);
  return out;
}

inline Tin tin(std::int64_t entry, std::string id,
               std::vector<std::string> contains = {"per-label"}) {
  Tin t;
  t.entry = entry;
  t.id = std::move(id);
  t.stock = t.id[0] == 'G' ? "glue" : "finish";
  t.kind = t.stock == "glue" ? "pva-d3" : "hardwax-oil";
  t.name = t.stock == "glue" ? "Bond" : "Board oil";
  t.supplier = "North Supply";
  t.contains = std::move(contains);
  t.animal_origin = "no";
  return t;
}

enum class Says { names, denies, lists };

inline Statement paper(std::int64_t entry, std::string subject, Says says,
                       std::vector<std::string> ids = {}, std::string about = "ingredients") {
  Statement s;
  s.entry = entry;
  s.subject = std::move(subject);
  s.about = std::move(about);
  (says == Says::denies ? s.declares_none : s.contains) = std::move(ids);
  s.complete = says == Says::lists;
  return s;
}

// Glued with G1 and finished with F1; nothing on paper yet; the shop declares that it handles
// nothing.
inline PieceContents piece() {
  PieceContents p;
  p.piece = "27-001-01-55";
  p.batch = "27-001";
  p.batch_entry = 5;
  WoodLot lot;
  lot.entry = 2;
  lot.id = "W1";
  lot.species = "black-walnut";
  lot.common_name = "Black walnut";
  lot.botanical_name = "Juglans nigra";
  p.wood = {lot};
  p.tins = {tin(3, "G1"), tin(4, "F1")};
  p.steps = {{"G1", {10}}, {"F1", {11, 12}}};
  p.glue_logged = true;
  p.cross_contact_declared = true;
  p.cross_contact_entry = 1;
  p.topic_market = "eu";
  return p;
}

// Complete ingredient lists of both that name nothing.
inline PieceContents listed() {
  PieceContents p = piece();
  p.statements = {paper(6, "G1", Says::lists), paper(7, "F1", Says::lists)};
  return p;
}

inline std::string result(const PieceContents& p, const std::string& about) {
  return answer(p, about, table()).result;
}

inline bool rests_on(const Answer& a, std::int64_t entry) {
  return std::any_of(a.because.begin(), a.because.end(),
                     [&](const auto& b) { return b.entry == entry; });
}

inline std::string all_text(const Answer& a) {
  std::string out;
  for (const auto& b : a.because) out += b.text + "\n";
  for (const auto& m : a.missing) out += m.text + "\n";
  for (const auto& n : a.notes) out += n.text + "\n";
  return out;
}

inline bool says(const Answer& a, const std::string& words) {
  return all_text(a).find(words) != std::string::npos;
}

}  // namespace evidence_fixture
