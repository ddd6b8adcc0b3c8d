// What is on a piece: contains, none recorded, or not known, with the entries that each rests on.
//
// 'None recorded' needs, for every glue and finish on the piece, a statement that declares the
// thing absent or an ingredient list marked complete, and a declared cross-contact without it. A
// statement that names something contained never implies that anything else is absent. Contains
// beats declares-none. Not known never turns into no.
//
// What counts as absence, for one tin:
// - a statement on the tin or its product that declares none of the thing or of its whole family
//   (none of tree nuts covers walnut; none of walnut does not cover tree nuts);
// - a complete ingredient list that does not name the thing, neither by id nor in its own words;
// - a complete allergen list that does not name it, where the list of the statement's market would
//   have to (market not said: only what every market lists). It never covers other substances.
// A tin that holds the family without saying which (say, a tree nut) leaves each member not known
// unless a statement declares that very member absent.
// A mix holds what its sources hold. A board that came back used lay where nobody kept this record:
// what food touched it and, unless somebody says, what its owner put on it is not known.
// Animal material: absent where a statement declares none of 'animal-derived', or a complete
// ingredient list names none. That a kind is usually free of it is no statement.
#pragma once

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/records.h"
#include "engine/losses.h"

namespace trencher::engine {

inline constexpr const char* contains = "contains";
inline constexpr const char* none_recorded = "none recorded";
inline constexpr const char* not_known = "not known";

// A sentence of an answer, with what stands in it, so that a letter can say it in another language.
struct Sentence {
  std::string key;   // one of sentence_keys()
  std::string text;  // in English
  // tin, kind (id), lot, supplier, mix, about, dated (ISO day), ingredient, part, day, topic …;
  // what is not known is left out
  std::map<std::string, std::string> values;
  std::vector<std::string> ids;  // allergens and substances that it names
};

struct Because : Sentence {
  std::int64_t entry = 0;  // 0: the nature of a kind, not an entry
};

// Every key of a sentence, for whoever has to say them all.
std::span<const std::string_view> sentence_keys();

struct Answer {
  std::string piece, about;
  std::string result;  // contains, none recorded, not known
  std::vector<Because> because;
  std::vector<Sentence> missing;  // what would make the answer firmer, and whom to ask
  std::vector<Sentence> notes;    // 'this does not mean free from', timber, law, doctor
};

// That a tin went into a mix which is on the piece.
struct MixedIn {
  std::int64_t entry = 0;  // of the mix
  std::string mix;         // "F5 Board butter"
};

struct PieceContents {
  std::string piece;  // code, or the batch's code
  std::string batch;  // its code
  std::int64_t batch_entry = 0;
  std::vector<WoodLot> wood;
  std::map<std::string, std::string> nut_family;  // by species, of those of a nut's family
  // On the piece, glue first, each once; of a mix, the tins that it comes from.
  std::vector<Tin> tins;
  std::map<std::string, std::vector<std::int64_t>> steps;  // per tin: glue-ups, coats, fittings
  std::map<std::string, std::vector<MixedIn>> mixed;       // per tin that came by way of a mix
  std::map<std::string, std::vector<std::string>> usual_ingredients;  // by kind, of its nature
  std::vector<Step> fitted;           // fitted without a tin: nothing is known of what they contain
  std::vector<Turn> returns;          // each time that it came back
  bool glue_logged = false;           // a glue-up is logged, or the batch has no glue
  std::vector<Statement> statements;  // on those tins and their products
  // What of it is withdrawn, by name ("F2 Walnut oil").
  std::map<std::string, Withdrawal> withdrawn;
  bool cross_contact_declared = false;
  std::vector<std::string> cross_contact;
  std::int64_t cross_contact_entry = 0;
  Losses losses;             // what of the book is lost and may bear on it: never none recorded
  std::string topic_market;  // whose list of allergens is spoken of first: us, eu, uk, ca, anz
};

// `about`: an allergen or substance id, 'finish', 'glue', 'other', 'wood', 'contents',
// 'animal-material'. `allergens` is the shipped table. Error::request where about is none of these.
Answer answer(const PieceContents& piece, const std::string& about,
              std::span<const Allergen> allergens);

// The same for an ingredient by the name that papers give it ("carnauba wax"). A list that names it
// more widely ("wax") leaves it open, and so does the shop's declared cross-contact, which speaks
// of the ids of the table alone: the result is contains or not known, never none recorded.
Answer answer_ingredient(const PieceContents& piece, const std::string& name);

}  // namespace trencher::engine
