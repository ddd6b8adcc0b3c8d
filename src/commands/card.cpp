#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/card_content.h"
#include "commands/choices.h"
#include "commands/claims.h"
#include "commands/command.h"
#include "commands/output_file.h"
#include "commands/printed_text.h"
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
  void add(int piece, PrintedCard says) {
    const std::string said = says.body().canonical();
    entries_.try_emplace(said, std::move(says)).first->second.pieces.push_back(piece);
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
  std::vector<paper::CardContent> cards;
  std::vector<engine::Finding> found;
  std::vector<std::string> printed;
};

void add_piece(Call& call, const BatchView& view, const book::PieceState& piece, const Claim& claim,
               Printing& printing, Entries& entries) {
  if (piece.scrapped)
    throw Error::request(fmt::format("Piece {} is scrapped (entry {}); it gets no card.",
                                     piece.code, *piece.scrapped));
  const engine::Leaving wish = card_wish(call, piece, printing.market, printing.as);
  const PieceCard made = piece_card(call, view, piece, wish, printing.languages);
  need_lines(call, view, made, wish, piece.code);
  printing.printed.push_back(piece.code);
  for (const paper::CardContent& content : made.contents) {
    PrintedCard says;
    says.batch = view.batch().code;
    says.language = content.language;
    says.market = wish.market;
    says.lines = paper::printed_lines(content);
    lay_claim(claim, says);
    entries.add(piece.number, std::move(says));
    printing.cards.push_back(content);
  }
  if (made.guessed)
    printing.found.push_back(
        {"food-contact-date", "suitability", engine::Result::not_known, piece.code,
         fmt::format("The card of {} is not final: its date is guessed.", piece.code), "ours"});
  if (!piece.signed_off)
    printing.found.push_back({"signed-off", "suitability", engine::Result::caution, piece.code,
                              fmt::format("Piece {} is not signed off.", piece.code), "ours"});
}

std::string told(const Printing& printing, const paper::CardsWritten& written,
                 const std::string& asked, const std::string& path, std::int64_t entry) {
  std::string out = fmt::format(
      "{} in {}; entry {}.",
      count_of(static_cast<std::int64_t>(printing.cards.size()), "care card"), path, entry);
  const std::string_view size = paper::card_size_name(written.card);
  if (size != asked)
    out +=
        fmt::format(" Both sides of {} do not hold all of it, so the cards are {}.", asked, size);
  if (written.backs) out += " Print on both sides, turned over the long edge.";
  return out;
}

}  // namespace

int card(Call& call) {
  std::vector<std::string> codes;
  std::string output, language = "en", sheet = "a4", size = "a6";
  Printing printing;
  call.words("CODE", codes, "codes of pieces or batches");
  call.option("-o", "FILE", output, "the PDF to write");
  call.option("--language", "LANGUAGE", language,
              join(paper::languages(), ", ") + "; several as en,fr: a card for each");
  call.option("--market", "M", printing.market,
              "whose lines: where the piece went, else your first");
  call.option("--as", "HOW", printing.as,
              join_words(ways_of_leaving(), "or") + "; default: as it went, else sale");
  call.option("--paper", "a4|letter", sheet, "sheet to print on");
  call.option("--card", "SIZE", size, "tag, a7, a6, 4x6in, quarter-letter or a5");
  call.parse();
  call.need(codes, "CODE", "Which pieces or batches");
  if (!printing.market.empty()) Call::check_known(printing.market, "Market", markets());
  if (!printing.as.empty()) Call::check_known(printing.as, "--as", ways_of_leaving());
  printing.languages = known_values(split(language, ','), "Language", paper::languages());
  const paper::CardOptions options{paper::sheet_size(sheet), paper::card_size(size), call.now()};
  const std::filesystem::path path = need_pdf_path(call, output);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  std::int64_t first_entry = 0;
  for (const auto& [batch, numbers] : pieces_by_batch(call, codes)) {
    const BatchView view = view_batch(call, batch);
    const std::vector<engine::Finding> claims_too_much =
        claims_in_print(card_texts(call, view), true);
    call.demand_because(claims_too_much);
    printing.found.insert(printing.found.end(), claims_too_much.begin(), claims_too_much.end());
    const std::map<int, Claim> claims = claims_of(call, view, numbers);
    Entries entries;
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch))
      if (names_piece(numbers, piece.number))
        add_piece(call, view, piece, claims.at(piece.number), printing, entries);
    const std::int64_t first = entries.append(call, writing, stamp);
    if (!first_entry) first_entry = first;
  }
  const paper::CardsWritten written = paper::write_cards(printing.cards, options, path);
  PaperOfEntry paper(path);
  writing.commit();
  paper.entered();
  return call.wrote(first_entry, join(printing.printed, " "), printing.found,
                    told(printing, written, size, path.string(), first_entry),
                    Json::object()
                        .set("file", path.string())
                        .set("card", std::string(paper::card_size_name(written.card)))
                        .set("both_sides", Json(written.backs)));
}

}  // namespace trencher::commands
