// What the shipped tables say of woods, finishes, glues, other parts, allergens and ways of
// finishing; a user's own species has the same form. Filled by reference/, judged by engine/.
// Figures: temperatures in thousandths of a degree Celsius, humidity in tenths of a per cent, waits
// in seconds, coverage in cm2 per litre. An absent figure means that no source gives one.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/mechanism.h"
#include "domain/quantity.h"
#include "domain/time.h"

namespace trencher {

struct Species {
  std::string id;                      // hard-maple
  std::string common_name;             // Hard maple (sugar maple)
  std::string botanical_name;          // Acer saccharum
  std::string group;                   // hardwood, softwood, grass
  std::string pore;                    // diffuse, semi-ring, ring, nonporous; empty: not known
  std::optional<int> side_hardness_n;  // Janka, newtons
  std::string hardness_source, hardness_standing;
  std::optional<double> radial_shrink_pct, tangential_shrink_pct;  // green to oven-dry
  std::string shrink_source, shrink_standing;
  std::string health_note, health_source;
  bool toxic = false;       // the sources call it a direct toxin
  bool sensitiser = false;  // a source says that it sensitises, or names an allergy to it
  bool oily = false;
  std::string cites_appendix, cites_note;  // I, II or empty
  std::string nut_family;
  bool food_code_named = false;     // hard maple: the wood that Food Code 4-101.17 names
  std::string fr1945, fr1945_note;  // French order of 1945: all, solid or empty (not listed)
  std::string notes;
};

struct FinishKind {
  std::string id, name;
  Mechanism mechanism = Mechanism::none;
  bool water_borne = false;
  std::vector<std::string> ingredients;
  std::optional<int> coats;
  std::optional<Seconds> recoat_min, recoat_max, handle, pack, food_contact;
  std::optional<Coverage> coverage;
  std::optional<Celsius> reference_temp, lowest_temp;
  std::optional<Percent> reference_rh, highest_rh;
  bool self_heating_rags = false;
  std::string solvent;
  std::vector<std::string> contains;  // ids of allergens; 'per-label': ask the tin
  std::string animal_origin;          // yes, no, per-label
  std::string on_cutting_surface;     // fine, caution, stop
  std::optional<int> reoil_months;
  std::string us_status, notes, basis, standing;
};

struct GlueKind {
  std::string id, name;
  std::string en204_class, hp1_type;  // never derived from one another
  Mechanism mechanism = Mechanism::none;
  std::optional<Celsius> lowest_temp, reference_temp;
  std::optional<Percent> reference_rh;
  std::optional<Seconds> open, clamp, full_cure;
  std::string wet_use;  // fine, caution, stop
  std::vector<std::string> contains;
  std::string animal_origin;
  std::string notes, basis, standing;
};

// Fillers, feet, cords, inlays, wipes and whatever else is fitted to a board or touches it.
struct OtherKind {
  std::string id, name;
  std::string role;  // filler, dye, feet, cord, inlay, plug, hardware, wipe
  Mechanism mechanism = Mechanism::none;
  std::optional<Celsius> lowest_temp, reference_temp;
  std::optional<Percent> reference_rh;
  std::optional<Seconds> full_cure;   // hard throughout, or the solvent gone
  std::vector<std::string> contains;  // ids of allergens; 'per-label': ask the label
  std::string animal_origin;          // yes, no, per-label
  bool stays = true;                  // false: all of it is meant to evaporate
  std::string on_food_face;           // fine, caution, stop: where food or a knife touches it
  std::string notes, basis, standing;
};

struct Allergen {
  std::string id, name;
  std::string group;  // allergen: on some market's list now or once; substance
  bool us = false, eu = false, uk = false, ca = false, anz = false;  // on that market's list now
  std::string parent;  // tree-nut for the kinds of nut; empty
  bool animal = false;
  std::string notes, standing;
  std::string source_keys;  // of the table of sources, with semicolons between
};

// One step of a way of finishing.
struct ScheduleStep {
  std::string step;            // sand, raise-grain, coat, scuff, inspect
  std::vector<int> grits;      // sand
  int slot = 0;                // coat: which of the batch's finishes, from 1
  std::optional<int> count;    // coats, or rounds; absent for a coat: as the label says
  std::optional<int> minutes;  // the maker's attention, each time
  std::string note, source, standing;
};

struct Schedule {
  std::string id, name, when_to_use;
  std::vector<std::vector<Mechanism>> slots;  // per finish of the batch, in order: what fits
  std::vector<ScheduleStep> steps;
};

// The market whose rules and lists hold in this one too: of us-ca us, of de eu, else itself.
inline std::string_view wider_market(std::string_view market) {
  return market == "us-ca" ? "us" : market == "de" ? "eu" : market;
}

// What the record is looked through for, where a rule asks it; engine/market.h says how.
inline constexpr std::array<std::string_view, 23> rule_checks{"hard-close-grained-wood",
                                                              "wood-listed-in-france",
                                                              "wood-history",
                                                              "cites-listed-wood",
                                                              "timber-origin",
                                                              "batch-code-on-card",
                                                              "maker-on-card",
                                                              "card-language",
                                                              "card-cautions",
                                                              "cross-contact-declared",
                                                              "claims-checked",
                                                              "traceable-back",
                                                              "traceable-forward",
                                                              "supplier-declaration",
                                                              "paper-names",
                                                              "ingredients-listed",
                                                              "batch-documented",
                                                              "cure-and-inspection",
                                                              "records-kept",
                                                              "responsible-person",
                                                              "offer-text",
                                                              "accident-report",
                                                              "recall-notice"};
// A rule that no record answers.
inline constexpr std::string_view maker_decides = "maker-decides";

// What a market's law asks of the maker, in our own words. The program lists it and never judges
// whether it is met.
struct Rule {
  std::string key;     // eu-gpsr-accident
  std::string market;  // us, us-ca, eu, de, uk, ca, anz; any: wherever a board goes
  std::string cite, asks;
  std::string when;  // it applies, in words
  // When it applies, as far as the record tells; an empty list, or nothing: in every case.
  std::vector<std::string> use;           // cutting-board
  std::vector<std::string> leaving;       // gift, sale, private-gift
  std::optional<bool> food_business;      // whether the buyer is one
  std::vector<std::string> species;       // ids, one of which is in the board
  std::vector<std::string> finish, glue;  // ids of kinds, one of either of which is on it
  std::string check;                      // of rule_checks, or maker_decides
  std::vector<std::string> names;         // paper-names: what a supplier's paper cites
  std::optional<int> keep_years;          // records-kept
  std::vector<std::string> languages;     // card-language: en, fr
  std::string ask;                        // where
  Day reviewed;                           // when somebody last looked
  std::string source;                     // where the text was read, or what is remembered
  std::string standing;                   // read, read in part, memory

  // Whether it is one of that market's.
  bool binds_in(std::string_view where) const {
    return market == where || market == wider_market(where) || market == "any";
  }
};

// Words that no paper and no message may say of a board, whatever their case, hyphens and blanks; a
// phrase that ends with * takes any ending. A denial is a set phrase in which they may stand.
struct NeverSaid {
  std::string phrase, language;
  bool denial = false;
  std::string instead;  // what may be said
};

struct Source {
  std::string key, what, standing;
};

}  // namespace trencher
