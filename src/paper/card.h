// The care card that leaves the workshop with a board: several to a sheet, with cut marks. The
// caller fills the plain values below, already in the reader's units, zone and language; the
// sentences around them come from templates/care-card/<language>.mustache.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

struct CardWood {
  std::string common;     // "hard maple"
  std::string botanical;  // "Acer saccharum"; empty: the record does not say
};

// When the board may first touch food.
enum class FirstContact {
  from_date,  // computed from readings
  guessed,    // computed, but some readings were missing or lie in the future
  not_known,  // no date can be computed
};

// Whose advice hand washing and re-oiling are is said on the card itself.
struct CardContent {
  std::string code;  // piece code "26-014-03-24": printed, and the whole content of the QR code
  std::string use;   // heading, as a noun: "Cutting board"
  std::string size;  // "400 × 250 × 22 mm"; empty: not recorded
  bool for_cutting = false;  // adds the line on separate boards for raw meat, poultry and seafood
  bool glued = false;        // a glue-up is recorded; adds the line on laminated boards
  bool for_food_contact = true;  // false: no first-contact block

  std::vector<CardWood> woods;        // at least one; order of the strips in the mark
  std::vector<std::string> glues;     // plain words: "water-resistant PVA wood glue"
  std::vector<std::string> finishes;  // plain words: "pure tung oil", in order of application

  std::vector<std::string> others;  // fillings, feet, inlay in plain words
  bool used_before = false;         // it came back from use: what touched it then is not known

  // The three answers, each a list of plain names ("tree nut (walnut)").
  std::vector<std::string> contains;
  std::vector<std::string> none_recorded;
  std::vector<std::string> not_known;
  std::string
      allergen_list;  // whose list the names follow: "the United States' list of food allergens"

  std::string finished_on;  // "5 December 2026"; empty: not known
  FirstContact first_contact = FirstContact::not_known;
  std::string first_contact_on;  // date; not read when not known

  int reoil_months = 0;       // usual interval; 0: no interval is given for this finish
  std::string reoil_with;     // "pure tung oil"; empty: the same finish
  bool self_heating = false;  // the finish for re-oiling makes rags heat by themselves

  std::string maker;    // name
  std::string address;  // one line; empty: not printed
  std::string contact;  // telephone, mail or web address
};

struct CardOptions {
  Size sheet = a4;
  Size card = a6;
  std::string language = "en";
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

// How many cards of this size one sheet takes, the card turned whichever way holds more.
int cards_per_sheet(Size sheet, Size card);

// Writes all cards, in order, to one PDF file. The file is either whole or untouched.
// Error request: no card, an unknown language, a text that does not fit or cannot be printed.
// Error book: the font or the file.
void write_cards(const std::vector<CardContent>& cards, const CardOptions& options,
                 const std::filesystem::path& path);

}  // namespace trencher::paper
