// The care card that leaves the workshop with a board: several to a sheet, with cut marks. The
// caller fills the plain values below, already in the reader's units, zone and language; the
// sentences around them come from templates/care-card/<language>.mustache.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

// When the board may first touch food.
enum class FirstContact {
  from_date,  // computed from readings
  guessed,    // computed, but some readings were missing or lie in the future
  not_known,  // no date can be computed
};

// What a finish is made of, as the list that came with it names it.
struct CardIngredients {
  std::string name;               // of the finish: "pure tung oil"
  std::vector<std::string> list;  // free text, at least one
  bool complete = false;          // the list says that it is
  auto operator<=>(const CardIngredients&) const = default;
};

// Whose advice hand washing and re-oiling are is said on the card itself.
struct CardContent {
  std::string language = "en";
  std::vector<std::string> lines;  // that it carries: engine::card_lines()

  std::string code;    // piece code "26-014-03-24": printed, and the whole content of the QR code
  std::string use;     // "cutting board"
  std::string size;    // "400 × 250 × 22 mm"; empty: not recorded
  bool glued = false;  // a glue-up is recorded

  std::vector<std::string> woods;     // "hard maple (Acer saccharum)"; order of the strips
  std::vector<std::string> glues;     // plain words: "water-resistant PVA wood glue"
  std::vector<std::string> finishes;  // plain words: "pure tung oil", in order of application
  std::vector<CardIngredients> ingredients;

  std::vector<std::string> others;  // fillings, feet, inlay in plain words
  std::vector<std::string> shared;  // what shared rags, brushes and bench also touch
  bool used_before = false;         // it came back from use: what touched it then is not known

  // The three answers, each a list of plain names ("tree nut (walnut)").
  std::vector<std::string> contains;
  std::vector<std::string> none_recorded;
  std::vector<std::string> not_known;
  std::string allergen_list;  // whose list the names follow: "the United States"; empty: none's

  std::string finished_on;  // "5 December 2026"; empty: not known
  FirstContact first_contact = FirstContact::not_known;
  std::string first_contact_on;  // date; not read when not known

  int reoil_months = 0;      // usual interval; 0: no interval is given for this finish
  std::string reoil_with;    // "pure tung oil"; empty: the same finish
  bool us_measures = false;  // spoons and gallons of the United States, else millilitres and litres

  std::string maker;        // name
  std::string address;      // one line; empty: not printed
  std::string contact;      // telephone, mail or web address
  std::string responsible;  // who answers for the boards in the Union; empty: nobody is named

  auto operator<=>(const CardContent&) const = default;
};

struct CardOptions {
  Size sheet = a4;
  Size card = a6;
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

struct CardsWritten {
  Size card;                     // that asked for, or the next larger one that holds all the cards
  bool backs = false;            // a page with the backs follows each page, to be printed behind it
  std::size_t cards_a_file = 0;  // but fewer in the last
};

// A ream: no file has more sheets, so that memory does not grow with the number of cards.
inline constexpr std::size_t most_sheets = 500;

// How many cards of this size one sheet takes, the card turned whichever way holds more.
int cards_per_sheet(Size sheet, Size card);

// Cards that are printed together. Those that say the same but for their code are set, kept and
// drawn once.
class Cards {
 public:
  explicit Cards(const CardOptions& options);
  ~Cards();
  Cards(const Cards&) = delete;
  Cards& operator=(const Cards&) = delete;

  // That of a card: the same for those that say the same but for their code. Error request: an
  // unknown language, or no code or maker.
  enum class Design : std::size_t {};
  Design design_of(const CardContent& card);
  // The keys of the lines that it prints, in the order of engine::card_line_keys().
  const std::vector<std::string>& printed_lines(Design design) const;

  // One more card; its code has the form of the one that the design was made from.
  void add(Design design, const std::string& code);
  std::size_t count() const;

  // One of the PDF files, counted from 0.
  using Take = std::function<void(std::size_t file, std::size_t files, const std::string& bytes)>;
  // How many cards are drawn.
  using Told = std::function<void(std::size_t cards)>;
  // All cards, in order, in as few files as hold them. What does not fit a card at the smallest
  // type goes on its back; what does not fit both, on the next larger card. The back of a sheet is
  // mirrored: printed on both sides, turned over the long edge, each back meets its front. Error
  // request: no card, a text that does not fit the largest card or cannot be printed. Error book:
  // the font.
  CardsWritten write(const Take& take, const Told& told = {});

 private:
  struct Deck;
  std::unique_ptr<Deck> deck_;
};

}  // namespace trencher::paper
