// What the entries of the book say, as values: one struct for each thing received, made or done.
// Each reads from an entry's body and writes one; docs/book-format.md lists the members.
// `entry` is the number of the original entry, `at` when it happened; neither stands in the body.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "domain/json.h"
#include "domain/label.h"
#include "domain/quantity.h"
#include "domain/time.h"

namespace trencher {

struct Workshop {
  std::string maker, address, contact;
  std::vector<std::string> markets;  // us, us-ca, eu, uk, de, ca, anz
  std::string zone;                  // IANA name
  Units units = Units::metric;
  // Shared rags, brushes and bench: allergen ids that the shop also handles. `declared` false means
  // that the maker has said nothing, which is not the same as none.
  bool cross_contact_declared = false;
  std::vector<std::string> cross_contact;
  Json body() const;
  static Workshop read(const Json& body);
};

struct Worker {
  std::int64_t id = 0;
  std::string person, seal;  // of the vault: the name is not in the journal
  bool may_sign_off = false;
  Json body() const;
  static Worker read(const Json& body);
};

struct Place {
  std::string id;    // "garage"
  std::string name;  // "Garage"
  // What the maker declares for times without a reading.
  std::optional<Celsius> temp;
  std::optional<Percent> rh;
  Json body() const;
  static Place read(const Json& body);
};

struct Product {
  std::string id;     // P1
  std::string stock;  // glue or finish
  std::string kind, name;
  std::string supplier;  // may be empty
  Label label;
  std::vector<std::string>
      contains;               // by the nature of its kind, allergen ids; may hold 'per-label'
  std::string animal_origin;  // by the nature of its kind: yes, no, per-label
  Json body() const;
  static Product read(const Json& body);
};

struct WoodLot {
  std::int64_t entry = 0;
  Moment at;
  std::string id;  // W1
  std::string species, common_name, botanical_name;
  std::string supplier, lot;
  std::string dried;  // kiln, air or empty
  std::optional<Percent> moisture;
  std::string origin;  // ISO 3166-1 country code, may be empty
  bool reclaimed = false;
  std::optional<bool> treated;  // absent: not known
  Json body() const;
  static WoodLot read(const Json& body);
};

// Any container of glue or finish.
struct Tin {
  std::int64_t entry = 0;
  Moment at;
  std::string id;       // G1, F1
  std::string stock;    // glue or finish
  std::string product;  // P1 or empty
  std::string kind, name, supplier, lot;
  std::optional<Day> best_before;
  std::optional<Amount> amount;
  Label label;
  std::vector<std::string> contains;
  std::string animal_origin;
  Json body() const;
  static Tin read(const Json& body);
};

struct Statement {
  std::int64_t entry = 0;
  Moment at;
  std::string subject;                               // F1, G1, W1 or P1
  std::string about;                                 // ingredients, allergens, food-contact, safety
  std::string market;                                // empty: not for one market
  std::vector<std::string> contains, declares_none;  // allergen ids
  std::vector<std::string> ingredients;              // as the paper names them
  bool complete = false;                             // the ingredient list is complete
  std::optional<Day> dated;
  std::string file_sha256, file_name;  // empty: no file kept
  Json body() const;
  static Statement read(const Json& body);
};

struct Batch {
  std::int64_t entry = 0;
  Moment at;
  std::string code;                             // 26-014
  std::vector<std::string> wood, glue, finish;  // ids; finish in the order of the schedule's slots
  Schedule schedule;                            // as it stood when the batch was made
  int pieces = 0;
  Size size;
  std::string use;  // cutting-board, serving-board, salad-bowl, utensil, toy
  std::string place;
  Json body() const;
  static Batch read(const Json& body);
};

// How much of which tin went into a step.
struct Drawn {
  std::string tin;
  std::optional<Amount> amount;
  bool estimated = false;  // area x coats / coverage, not measured
};

struct Step {
  std::int64_t entry = 0;
  Moment at;
  std::string kind;  // glue-up, fit, sand, raise-grain, coat, scuff, inspect, move
  std::string batch;
  std::vector<int> pieces;                    // empty: all of the batch
  std::vector<Drawn> drawn;                   // glue-up, coat, fit
  std::optional<Celsius> temp, surface_temp;  // of the air; of the wood
  std::optional<Percent> rh;
  std::string place;          // where it was done; move: where to
  std::vector<int> grits;     // sand
  std::optional<int> rounds;  // raise-grain
  std::string result;         // inspect: sound, or not-sound
  bool rags = false;          // its rags can heat by themselves: opens a rag item
  std::string text;           // inspect: what was seen; fit: what was fitted
  Json body() const;
  static Step read(std::string_view kind, const Json& body);
};

struct Reading {
  std::int64_t entry = 0;
  Instant at;
  Celsius temp;
  std::optional<Percent> rh;
};

struct Readings {
  std::string place;
  std::vector<Reading> samples;
  std::string file_name;  // of a logger's file; empty: typed in
  Json body() const;
  static Readings read(std::int64_t entry, const Json& body);
};

struct SignOff {
  std::int64_t entry = 0;
  Moment at;
  std::string batch;
  std::vector<int> pieces;
  std::optional<Instant> food_contact;  // as computed then
  bool guessed = false;
  std::vector<std::string> stops;  // checks that stood at stop
  Json body() const;
  static SignOff read(const Json& body);
};

struct Gift {
  std::int64_t entry = 0;
  Moment at;
  std::string batch;
  std::vector<int> pieces;
  std::string person, seal;
  std::string as;  // gift, sale, private-gift
  std::string market;
  bool food_business = false;
  Json body() const;
  static Gift read(const Json& body);
};

// A care card that was printed, and what stood on it.
struct PrintedCard {
  std::int64_t entry = 0;
  Moment at;
  std::string batch;
  std::vector<int> pieces;
  std::string language;
  std::optional<Day> food_contact;
  bool guessed = false;
  Json body() const;
  static PrintedCard read(const Json& body);
};

// The confirmation that the rags of these coats (entry numbers) were dealt with.
struct RagsDone {
  std::string batch;
  std::vector<std::int64_t> coats;
  Json body() const;
  static RagsDone read(const Json& body);
};

Json to_json(const Schedule& schedule);
Schedule schedule_from_json(const Json& json);
Json to_json(const Species& species);
Species species_from_json(const Json& json);

// Whether `pieces` (empty: all) takes in `number`.
bool names_piece(const std::vector<int>& pieces, int number);

}  // namespace trencher
