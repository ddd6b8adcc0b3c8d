#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "book/queries.h"
#include "commands/card_content.h"
#include "commands/choices.h"
#include "commands/claims.h"
#include "commands/command.h"
#include "commands/output_file.h"
#include "commands/printed_text.h"
#include "commands/rulebook.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/language.h"

namespace trencher::commands {
namespace {

// The pieces asked for, by batch, in the order of their codes.
std::map<std::string, std::vector<int>> pieces_by_batch(Call& call,
                                                        const std::vector<std::string>& codes) {
  std::map<std::string, std::vector<int>> out;
  for (const std::string& code : codes) {
    const Pieces pieces = need_pieces(call, code);
    std::vector<int>& numbers = out[pieces.batch];
    for (const book::PieceState& piece : book::pieces_of(call.book(), pieces.batch))
      if (names_piece(pieces.numbers, piece.number) && !(pieces.whole_batch && piece.scrapped))
        numbers.push_back(piece.number);
    if (numbers.empty())
      throw Error::request(
          fmt::format("Every piece of {} is scrapped; there is no card to print.", pieces.batch));
    std::sort(numbers.begin(), numbers.end());
    numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
  }
  return out;
}

// The entries of one batch's cards: one for those that say the same in the same language.
class Entries {
 public:
  PrintedCard& of(PrintedCard&& says) {
    const std::string said = says.body().canonical();
    return entries_.try_emplace(said, std::move(says)).first->second;
  }

  // The number of the first.
  std::int64_t append(Call& call, book::Writing& writing, const book::Stamp& stamp) const {
    std::int64_t first = 0;
    for (const auto& [said, entry] : entries_) {
      Json body = entry.body();
      call.annotate(body);
      const std::int64_t number = writing.append("card", body, stamp);
      if (!first) first = number;
    }
    return first;
  }

 private:
  std::map<std::string, PrintedCard> entries_;
};

struct Printing {
  std::string market, as;  // empty: as the piece went
  std::vector<std::string> languages;
  paper::Cards cards;
  std::map<std::string, std::vector<Rule>> rules = {};  // by market
  std::vector<engine::Finding> found = {};
  std::vector<std::string> printed = {};
};

// Pieces of one batch to which the same was done and that go the same way have the same cards but
// for their codes.
class BatchCards {
 public:
  BatchCards(Call& call, const BatchView& view, std::map<int, Claim> claims, Printing& printing)
      : call_(call), view_(view), claims_(std::move(claims)), printing_(printing) {}

  void add(const book::PieceState& piece) {
    if (piece.scrapped)
      throw Error::request(fmt::format("Piece {} is scrapped (entry {}); it gets no card.",
                                       piece.code, *piece.scrapped));
    Alike& alike = alike_of(piece);
    for (const auto& [design, entry] : alike.cards) {
      printing_.cards.add(design, piece.code);
      entry->pieces.push_back(piece.number);
    }
    printing_.printed.push_back(piece.code);
    tell(piece, alike.guessed);
  }

  const Entries& entries() const { return entries_; }

 private:
  struct Alike {
    bool guessed = false;
    std::vector<std::pair<paper::Cards::Design, PrintedCard*>> cards;  // one a language
  };

  Alike& alike_of(const book::PieceState& piece) {
    const engine::Leaving wish = card_wish(call_, view_, piece, printing_.market, printing_.as);
    const auto [found, is_new] = alike_.try_emplace(
        {wish.market, wish.as, wish.food_business, entries_naming(view_, piece.number)});
    if (is_new) make(piece, wish, found->second);
    return found->second;
  }

  void make(const book::PieceState& piece, const engine::Leaving& wish, Alike& out) {
    const PieceCard made =
        piece_card(call_, view_, piece, claims_.at(piece.number), wish, printing_.languages);
    out.guessed = made.guessed;
    for (const paper::CardContent& content : made.contents) {
      const paper::Cards::Design design = printing_.cards.design_of(content);
      PrintedCard says;
      says.batch = view_.batch().code;
      says.language = content.language;
      says.market = wish.market;
      says.lines = printing_.cards.printed_lines(design);
      if (out.cards.empty()) demand_lines(wish, made, says.lines, piece.code);
      lay_claim(claims_.at(piece.number), says);
      out.cards.emplace_back(design, &entries_.of(std::move(says)));
    }
  }

  void demand_lines(const engine::Leaving& wish, const PieceCard& made,
                    const std::vector<std::string>& printed, const std::string& code) {
    auto rules = printing_.rules.find(wish.market);
    if (rules == printing_.rules.end())
      rules = printing_.rules.emplace(wish.market, rules_for(call_, wish.market)).first;
    need_lines(rules->second, view_, made, wish, printed, code);
  }

  void tell(const book::PieceState& piece, bool guessed) {
    const auto add = [&](const char* rule, engine::Result result, std::string reason) {
      printing_.found.push_back(
          {rule, "suitability", result, piece.code, std::move(reason), "ours"});
    };
    if (guessed)
      add("food-contact-date", engine::Result::not_known,
          fmt::format("The card of {} is not final: its date is guessed.", piece.code));
    if (!piece.signed_off)
      add("signed-off", engine::Result::caution,
          fmt::format("Piece {} is not signed off.", piece.code));
  }

  Call& call_;
  const BatchView& view_;
  std::map<int, Claim> claims_;
  Printing& printing_;
  Entries entries_;
  std::map<std::tuple<std::string, std::string, bool, std::vector<std::int64_t>>, Alike> alike_;
};

std::string told(std::size_t cards, const paper::CardsWritten& written, const std::string& asked,
                 const std::vector<std::string>& paths, std::int64_t entry) {
  const auto number = static_cast<std::int64_t>(cards);
  std::string out =
      fmt::format("{} in {}; entry {}.", count_of(number, "care card"), join_words(paths), entry);
  if (paths.size() > 1)
    out += fmt::format(" {} in each file, in order; the rest in the last.", written.cards_a_file);
  const std::string_view size = paper::card_size_name(written.card);
  if (size != asked)
    out +=
        fmt::format(" Both sides of {} do not hold all of it, so the cards are {}.", asked, size);
  if (written.backs) out += " Print on both sides, turned over the long edge.";
  return out;
}

// Every batch's pieces. Returns the number of the first entry.
std::int64_t add_all(Call& call, const std::map<std::string, std::vector<int>>& pieces,
                     book::Writing& writing, const book::Stamp& stamp, Progress& progress,
                     Printing& printing) {
  std::int64_t first_entry = 0;
  std::size_t done = 0;
  KnownShop known;  // cards say nothing of what is known here
  for (const auto& [batch, numbers] : pieces) {
    const BatchView view = view_batch(call, batch, known);
    const std::vector<engine::Finding> claims_too_much =
        claims_in_print(card_texts(call, view), true);
    if (!claims_too_much.empty()) progress.wipe();
    call.demand_because(claims_too_much);
    printing.found.insert(printing.found.end(), claims_too_much.begin(), claims_too_much.end());
    BatchCards cards(call, view, claims_of(call, view, numbers), printing);
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch))
      if (names_piece(numbers, piece.number)) cards.add(piece);
    const std::int64_t first = cards.entries().append(call, writing, stamp);
    if (!first_entry) first_entry = first;
    progress.at(++done, pieces.size());
  }
  return first_entry;
}

}  // namespace

int card(Call& call) {
  std::vector<std::string> codes;
  std::string output, language = "en", sheet = "a4", size = "a6", market, as;
  call.words("CODE", codes, "codes of pieces or batches");
  call.option("-o", "FILE", output, "the PDF to write");
  call.option("--language", "LANGUAGE", language,
              join(paper::languages(), ", ") + "; several as en,fr: a card for each");
  call.option("--market", "M", market, "whose lines: where the piece went, else your first");
  call.option("--as", "HOW", as,
              join_words(ways_of_leaving(), "or") + "; default: as it went, else sale");
  call.option("--paper", "a4|letter", sheet, "sheet to print on");
  call.option("--card", "SIZE", size, "tag, a7, a6, 4x6in, quarter-letter or a5");
  call.parse();
  call.need(codes, "CODE", "Which pieces or batches");
  if (!market.empty()) Call::check_known(market, "Market", markets());
  if (!as.empty()) Call::check_known(as, "--as", ways_of_leaving());
  const std::vector<std::string> languages =
      known_values(split(language, ','), "Language", paper::languages());
  Printing printing{market, as, languages,
                    paper::Cards({paper::sheet_size(sheet), paper::card_size(size), call.now()})};
  const std::filesystem::path path = need_pdf_path(call, output);
  const book::Stamp stamp = call.stamp();
  Progress progress = call.progress("making care cards");
  progress.stretch(0, 0.5);
  book::Writing writing(call.book());
  const std::int64_t first_entry =
      add_all(call, pieces_by_batch(call, codes), writing, stamp, progress, printing);
  progress.stretch(0.5, 1);
  PapersOfEntry papers;
  const auto take = [&](std::size_t file, std::size_t files, const std::string& bytes) {
    std::string name = numbered_path(path, file, files).string();
    papers.add(need_pdf_path(call, name), bytes);
  };
  const paper::CardsWritten written = printing.cards.write(
      take, [&](std::size_t cards) { progress.at(cards, printing.cards.count()); });
  papers.appear();
  writing.commit();
  papers.entered();
  progress.wipe();
  Json data = Json::object()
                  .set("file", path.string())
                  .set("card", std::string(paper::card_size_name(written.card)))
                  .set("both_sides", Json(written.backs));
  if (papers.paths().size() > 1) {
    Json files = Json::array();
    for (const std::string& one : papers.paths()) files.push(one);
    data.set("files", files);
  }
  return call.wrote(first_entry, join(printing.printed, " "), printing.found,
                    told(printing.cards.count(), written, size, papers.paths(), first_entry), data);
}

}  // namespace trencher::commands
