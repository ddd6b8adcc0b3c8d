// What the entries of the book say, as values: one struct for each thing received, made or done.
// Each reads from an entry's body and writes one; docs/book-format.md lists the members.
// `entry` is the number of the original entry, `at` when it happened; neither stands in the body.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "domain/hours.h"
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
  // For planning. No hours: nobody said when the maker is in the shop.
  std::vector<DayHours> hours;
  std::vector<Day> days_off;  // no hours on these; by date
  struct MarketDay {
    Day day;
    std::string name;  // may be empty
    bool operator==(const MarketDay&) const = default;
  };
  std::vector<MarketDay> market_days;  // nor on these; by date
  std::optional<int> rack;             // boards that the drying rack holds
  std::map<std::string, int> minutes;  // the maker's attention to one board, by step
  std::string country;                 // ISO 3166-1 code; empty: not said
  std::string responsible;  // who answers for its boards in the Union, with addresses; may be empty
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

// One version of what a product's label says. A label that changes is a further version under the
// same id.
struct Product {
  std::int64_t entry = 0;
  Moment at;
  std::string id;                 // P1
  int version = 1;                // from 1
  std::optional<Day> valid_from;  // absent: from the entry on
  std::string stock;              // glue, finish or other
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
  bool from_customer = false;   // a customer's own wood; supplier and lot may be empty
  // The mark of ISPM 15 on reclaimed packaging: HT, MB, DH, SF, or none; empty: not known.
  std::string mark;
  Json body() const;
  static WoodLot read(const Json& body);
};

// How much of which tin went into a step or a mix.
struct Drawn {
  std::string tin;
  std::optional<Amount> amount;
  bool estimated = false;  // area x coats / coverage, not measured
};

inline constexpr const char* mix_kind = "mix";  // the kind of a tin that was mixed in the workshop

// Any container of glue, finish or something else that goes into a board. `label`, in a body, is
// what the tin itself states; read from the book, with its product's figures under it.
struct Tin {
  std::int64_t entry = 0;
  Moment at;
  std::string id;           // G1, F1, X1
  std::string stock;        // glue, finish or other
  std::string product;      // P1 or empty
  int product_version = 0;  // 0: no product
  std::string kind, name, supplier, lot;
  std::optional<Day> best_before;
  std::optional<Amount> amount;
  Label label;
  std::vector<std::string> contains;
  std::string animal_origin;
  // Not in the body: what it was mixed from, and when it was opened or first used.
  std::vector<Drawn> mixed_from;
  std::optional<Moment> opened;
  std::optional<Moment> pot_until;  // a mix: when the first pot life of what is in it ends
  Json body() const;
  static Tin read(const Json& body);
};

// The day after which the tin is out of date: its best-before, or the end of its opened life where
// that comes first. Absent: neither is known.
std::optional<Day> use_by(const Tin& tin);

// A tin made in the workshop out of others. What it holds, and until when, follows from them.
struct Mix {
  std::int64_t entry = 0;
  Moment at;
  std::string id;     // F5, G3, X2
  std::string stock;  // finish where a finish is in it, else glue, else other
  std::string name;
  std::vector<Drawn> drawn;
  std::optional<Amount> amount;  // what came of it
  Json body() const;
  static Mix read(const Json& body);
};

struct Statement {
  std::int64_t entry = 0;
  Moment at;
  std::string subject;  // F1, G1, X1, W1 or P1
  int version = 0;      // of the product; 0: not about a product
  // ingredients, allergens, food-contact, safety; origin: of a wood lot
  std::string about;
  std::string market;                                // empty: not for one market
  std::vector<std::string> contains, declares_none;  // allergen ids
  std::vector<std::string> ingredients;              // as the paper names them
  bool complete = false;                             // the ingredient list is complete
  std::optional<Day> dated, valid_until;
  // What the paper cites ("21 CFR 172.878"), or its own number (of a permit, of due diligence).
  std::string reference;
  std::string file_sha256, file_name;  // empty: no file kept
  Json body() const;
  static Statement read(const Json& body);
};

// Whether the paper is about this tin: about itself, or about its version of its product.
bool is_about(const Statement& statement, const Tin& tin);

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
  std::string person, seal;     // who ordered it; may be empty
  std::optional<Day> promised;  // to be ready by
  Json body() const;
  static Batch read(const Json& body);
};

struct Step {
  std::int64_t entry = 0;
  Moment at;
  std::string kind;  // glue-up, fit, sand, raise-grain, coat, scuff, inspect, move
  std::string batch;
  std::vector<int> pieces;                    // empty: all of the batch
  std::vector<Drawn> drawn;                   // glue-up, coat, fit
  std::optional<Celsius> temp, surface_temp;  // of the air; of the wood's surface
  std::optional<Celsius> wood_temp, tin_temp;
  std::optional<Percent> rh;
  std::string place;          // where it was done; move: where to
  std::vector<int> grits;     // sand
  std::optional<int> rounds;  // raise-grain
  std::optional<int> strips;  // glue-up: in one board
  std::string result;         // inspect: sound, or not-sound
  bool rags = false;          // its rags can heat by themselves: opens a rag item
  std::string text;           // inspect: what was seen; fit: what was fitted
  Json body() const;
  static Step read(std::string_view kind, const Json& body);
};

// A piece takes another way than its batch: split off for another finish, or taken back after it
// had left. It keeps its code, and what was put on before stays on it.
struct Turn {
  enum class Kind { split, take_back };
  std::int64_t entry = 0;
  Moment at;
  Kind kind = Kind::split;
  std::string batch;
  std::vector<int> pieces;
  std::optional<Schedule> schedule;  // absent (a piece taken back): one coat, of whatever tin
  std::vector<std::string> finish;   // in the order of the schedule's slots
  std::string why;
  // Taken back: where to, and what happened to it meanwhile, as far as somebody says.
  std::string place;
  bool unused = false;        // neither used nor oiled since it left
  std::string owner_applied;  // empty: not known; "nothing"; a kind of finish; else in words
  Json body() const;
  static Turn read(std::string_view entry_kind, const Json& body);
};

// Pieces that came to nothing.
struct Scrap {
  std::int64_t entry = 0;
  Moment at;
  std::string batch;
  std::vector<int> pieces;
  std::string why;
  Json body() const;
  static Scrap read(const Json& body);
};

// A supplier's or one's own word that tins, things or wood lots are to be used no more.
struct Withdrawal {
  std::int64_t entry = 0;
  Moment at;
  std::vector<std::string> ids;  // F1, G1, X1, W1
  std::string why;
  std::string supplier, lot;           // as the word named them, where it did
  std::string file_sha256, file_name;  // the supplier's notice; empty: no file kept
  Json body() const;
  static Withdrawal read(const Json& body);
};

// What an entry made wrong (a correction, a strike, a late reading, a paper), for pieces of one
// batch to which it did the same.
struct MadeWrong {
  struct Change {
    std::string about;  // food-contact, use, size, wood, glue, finish, other, or an allergen
    std::string before, now;
    bool operator==(const Change&) const = default;
  };
  std::string batch;
  std::vector<Change> changes;  // empty: the sign-off is to be made anew, no more
  // Pieces whose sign-off reopened; that have a card; that left; of which an answer was kept.
  std::vector<int> sign_off, card, left, answer;
  std::vector<std::int64_t> cards, gifts, answers;  // entries
  Json json() const;
  static MadeWrong read(const Json& json);
};
std::vector<MadeWrong> made_wrong(const Json& body);  // of any entry

// The confirmation that what an entry made wrong, or a complaint, has been dealt with for these
// pieces.
struct Dealt {
  std::int64_t entry = 0;
  Moment at;
  std::int64_t with = 0;  // the entry that made it wrong
  std::string batch;
  std::vector<int> pieces;
  std::string how;
  Json body() const;
  static Dealt read(const Json& body);
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
  std::string person, seal;  // empty: a stranger
  std::string as;            // gift, sale, private-gift
  std::string market;
  bool food_business = false;
  std::string event;  // where it left, as "Eastwold market"; may be empty
  bool is_to_stranger() const { return person.empty(); }
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
  // What stood on it: by topic (use, size, wood, glue, finish, other) in words, and the allergens
  // and substances by their answer; what is in neither list was not known. Absent in cards of the
  // first version.
  std::map<std::string, std::string> words;
  std::vector<std::string> contains, none_recorded;
  std::string market;              // whose lines it carries
  std::vector<std::string> lines;  // which of them: paper::card_lines()
  Json body() const;
  static PrintedCard read(const Json& body);
};

// The picture of a batch's boards; the latest counts.
struct Photograph {
  std::int64_t entry = 0;
  Moment at;
  std::string batch;
  std::string file_sha256, file_name;  // a JPEG, in the vault
  Json body() const;
  static Photograph read(const Json& body);
};

// Rules of a market that the maker added, from a file of the form of schema/rules.
struct OwnRules {
  std::int64_t entry = 0;
  Moment at;
  std::string file_name;
  std::vector<Rule> rules;
  Json body() const;
  static OwnRules read(const Json& body);
};

// An answer that was given about pieces: about the boards alone. Neither the question nor who asked
// is ever kept (Reg. (EU) 2016/679 art 9: what somebody is allergic to is data on health).
struct KeptAnswer {
  std::int64_t entry = 0;
  Moment at;
  std::string batch;
  std::vector<int> pieces;
  std::int64_t position = 0;                 // the last entry of the journal that it could rest on
  std::map<std::string, std::string> words;  // as on a card
  // Every shipped topic by its answer; one that is in no list came with a later program.
  std::vector<std::string> contains, none_recorded, not_known;
  std::vector<std::int64_t> rests_on;  // entries
  Json body() const;
  static KeptAnswer read(const Json& body);
};

// How far a recall has come with these pieces. That they came back or were scrapped here, their
// own entries say.
struct RecallStep {
  std::int64_t entry = 0;
  Moment at;
  std::int64_t withdrawal = 0;  // the entry that withdrew what is on them
  std::string batch;
  std::vector<int> pieces;
  std::string state;  // reached, no-answer, destroyed
  std::string how;    // may be empty
  Json body() const;
  static RecallStep read(const Json& body);
};

// The maker's decision that a recall is over; the withdrawal stands.
struct RecallEnd {
  std::int64_t entry = 0;
  Moment at;
  std::int64_t withdrawal = 0;
  std::string why;
  Json body() const;
  static RecallEnd read(const Json& body);
};

// What somebody found wrong with a board. Of the board alone: nobody's health is in it.
struct Complaint {
  std::int64_t entry = 0;
  Moment at;  // when the maker learned of it
  std::string batch;
  std::vector<int> pieces;
  std::string what;
  std::string severity;  // flaw, could-hurt, hurt-somebody
  std::string where;     // country or town where it happened; may be empty
  Json body() const;
  static Complaint read(const Json& body);
};

// A person of the vault is forgotten: row and salt are gone, the trace stays.
struct Forgotten {
  std::int64_t entry = 0;
  Moment at;
  std::string person;  // id
  Json body() const;
  static Forgotten read(const Json& body);
};

// Entries that are lost, from `first` to `last`.
struct Gap {
  std::int64_t first = 0, last = 0;
  std::string hash;  // of `last`, where it could still be read and the entry after fits it
  bool operator==(const Gap&) const = default;
};
std::string gap_words(const Gap& gap);  // "Entries 12 to 14", "Entry 12"

// What could be read of a damaged book or export was put into this one; what could not is lost.
struct Rescued {
  struct Unproved {  // taken over as it was found: no hash vouches for its words
    std::int64_t entry = 0;
    std::string digest;  // book::unproved_digest(): shows a later change
  };
  struct Lost {  // an id that entries speak of, though none says what it is
    std::string id, class_name;
    std::int64_t gap = 0;  // the first entry of the gap in which it was last made
    int pieces = 0;        // of a batch: the highest number that entries name
  };
  std::int64_t entry = 0;
  Moment at;
  std::string source;         // book or export
  std::string source_sha256;  // of the damaged file
  std::vector<Gap> gaps;
  std::vector<Unproved> unproved;
  std::vector<std::int64_t> rehashed;  // whose hash was hurt, and the entry after proves the mended
  std::vector<Lost> lost;
  std::vector<std::string> given_out;       // the highest ids that lost entries may have made
  std::vector<std::string> persons, files;  // named by entries, and not in the vault
  int left_out = 0;       // rows of the vault that no entry names, or that are forgotten
  bool open_end = false;  // entries may be lost behind the last one found
  bool id_lost = false;   // the book's id is a new one
  Json body() const;
  static Rescued read(const Json& body);
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
