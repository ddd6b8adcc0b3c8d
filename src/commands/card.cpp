#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/card_content.h"
#include "commands/claims.h"
#include "commands/command.h"
#include "commands/output_file.h"
#include "commands/printed_text.h"
#include "domain/error.h"
#include "domain/text.h"

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

}  // namespace

int card(Call& call) {
  std::vector<std::string> codes;
  std::string output, language = "en", sheet = "a4", size = "a6";
  call.words("CODE", codes, "codes of pieces or batches");
  call.option("-o", "FILE", output, "the PDF to write");
  call.option("--language", "LANGUAGE", language, "en");
  call.option("--paper", "a4|letter", sheet, "sheet to print on");
  call.option("--card", "SIZE", size, "a6, a5 or quarter-letter");
  call.parse();
  call.need(codes, "CODE", "Which pieces or batches");
  const paper::CardOptions options{paper::sheet_size(sheet), paper::card_size(size), language,
                                   call.now()};
  const std::filesystem::path path = need_pdf_path(call, output);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  std::vector<paper::CardContent> cards;
  std::int64_t first_entry = 0;
  std::vector<engine::Finding> found;
  std::vector<std::string> printed;
  for (const auto& [batch, numbers] : pieces_by_batch(call, codes)) {
    const BatchView view = view_batch(call, batch);
    const std::vector<engine::Finding> claims_too_much =
        claims_in_print(card_texts(call, view), true);
    call.demand_because(claims_too_much);
    found.insert(found.end(), claims_too_much.begin(), claims_too_much.end());
    const std::map<int, Claim> claims = claims_of(call, view, numbers);
    // One entry for those that say the same.
    std::map<std::string, PrintedCard> entries;
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch)) {
      if (!names_piece(numbers, piece.number)) continue;
      if (piece.scrapped)
        throw Error::request(fmt::format("Piece {} is scrapped (entry {}); it gets no card.",
                                         piece.code, *piece.scrapped));
      const PieceCard made = piece_card(call, view, piece);
      cards.push_back(made.content);
      printed.push_back(piece.code);
      PrintedCard says;
      says.batch = batch;
      says.language = language;
      lay_claim(claims.at(piece.number), says);
      entries.try_emplace(says.body().canonical(), says)
          .first->second.pieces.push_back(piece.number);
      if (made.guessed)
        found.push_back(
            {"food-contact-date", "suitability", engine::Result::not_known, piece.code,
             fmt::format("The card of {} is not final: its date is guessed.", piece.code), "ours"});
      if (!piece.signed_off)
        found.push_back({"signed-off", "suitability", engine::Result::caution, piece.code,
                         fmt::format("Piece {} is not signed off.", piece.code), "ours"});
    }
    for (auto& [said, entry] : entries) {
      Json body = entry.body();
      call.annotate(body);
      const std::int64_t number = writing.append("card", body, stamp);
      if (!first_entry) first_entry = number;
    }
  }
  paper::write_cards(cards, options, path);
  writing.commit();
  return call.wrote(first_entry, join(printed, " "), found,
                    fmt::format("{} in {}; entry {}.",
                                count_of(static_cast<std::int64_t>(cards.size()), "care card"),
                                path.string(), first_entry),
                    Json::object().set("file", path.string()));
}

}  // namespace trencher::commands
