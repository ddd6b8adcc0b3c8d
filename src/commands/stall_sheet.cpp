#include "paper/stall_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/named.h"
#include "commands/output_file.h"
#include "commands/printed_text.h"
#include "commands/shop.h"
#include "commands/stall_entry.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/language.h"

namespace trencher::commands {
namespace {

// "Cutting board, 400 × 250 × 22 mm, hard maple"
std::string short_words(Call& call, const BatchView& view, const std::string& language) {
  std::vector<std::string> parts{paper::capitalised(use_in_words(view.batch().use, language)),
                                 show(view.batch().size, call.units())};
  std::erase(parts, "");
  for (const WoodLot& lot : view.facts.wood) {
    std::string wood = wood_in_words(lot.species, lot.common_name, "", language);
    if (std::find(parts.begin(), parts.end(), wood) == parts.end())
      parts.push_back(std::move(wood));
  }
  return join(parts, ", ");
}

// What may be sold of a batch; of what may not be, why.
struct Offered {
  std::vector<book::PieceState> pieces;
  std::string left_out;
};

Offered offered_of(Call& call, const BatchView& view) {
  Offered out;
  std::vector<int> withdrawn;
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code)) {
    if (!piece.here() || !piece.signed_off) continue;
    if (withdrawn_on(view, {piece.number}))
      withdrawn.push_back(piece.number);
    else
      out.pieces.push_back(piece);
  }
  if (!withdrawn.empty())
    out.left_out = fmt::format("{} of {}: something on them is withdrawn.", name_pieces(withdrawn),
                               view.batch().code);
  return out;
}

// The pieces that the codes name: each must be here and signed off, of a batch those that are here.
std::vector<int> named_of(Call& call, const Pieces& named, const BatchView& view) {
  std::vector<int> out;
  for (const book::PieceState& piece :
       need_pieces_here(call, named, "", call.now(), "offered at a stall")) {
    if (!piece.signed_off)
      throw Error::request(
          fmt::format("Piece {} is not signed off, so it is not offered at a stall.", piece.code));
    out.push_back(piece.number);
  }
  demand_not_withdrawn(view, out);
  return out;
}

struct Sheet {
  paper::StallSheetContent content;
  std::vector<std::string> left_out;
  std::vector<PrintedText> texts;  // of the maker's own
};

void lay_batch(Call& call, const BatchView& view, const std::vector<std::string>& codes,
               Sheet& out) {
  const std::string what = short_words(call, view, out.content.language);
  for (const std::string& code : codes) out.content.rows.push_back({code, what});
  for (const WoodLot& lot : view.facts.wood) out.texts.emplace_back(lot.id, lot.common_name);
}

void lay_all(Call& call, Sheet& out) {
  KnownShop known;
  for (const std::string& batch : book::ids_of_class(call.book(), "batch")) {
    const auto pieces = book::pieces_of(call.book(), batch);
    if (std::none_of(pieces.begin(), pieces.end(), [](const book::PieceState& piece) {
          return piece.here() && piece.signed_off;
        }))
      continue;
    const BatchView view = view_batch(call, batch, known);
    Offered offered = offered_of(call, view);
    std::vector<std::string> codes;
    for (const book::PieceState& piece : offered.pieces) codes.push_back(piece.code);
    if (!codes.empty()) lay_batch(call, view, codes, out);
    if (!offered.left_out.empty()) out.left_out.push_back(std::move(offered.left_out));
  }
  if (!out.content.rows.empty()) return;
  throw Error::request(
      "Nothing is here that is signed off and could be sold; 'trencher sign-off' comes first." +
      (out.left_out.empty() ? "" : " " + join(out.left_out, " ")));
}

void lay_named(Call& call, const std::vector<std::string>& typed, Sheet& out) {
  std::map<std::string, std::vector<std::string>> laid;  // by batch
  std::vector<std::string> order;
  std::map<std::string, BatchView> views;
  KnownShop known;
  for (const std::string& word : typed) {
    const Pieces named = need_pieces(call, word);
    const auto view = views.try_emplace(named.batch, view_batch(call, named.batch, known)).first;
    std::vector<std::string>& codes = laid[named.batch];
    if (codes.empty()) order.push_back(named.batch);
    const std::vector<int> numbers = named_of(call, named, view->second);
    for (const int number : numbers) {
      std::string code = PieceCode{*parse_batch_code(named.batch), number}.text();
      if (std::find(codes.begin(), codes.end(), code) == codes.end())
        codes.push_back(std::move(code));
    }
  }
  for (const std::string& batch : order) lay_batch(call, views.at(batch), laid[batch], out);
}

int print_sheet(Call& call) {
  std::vector<std::string> codes;
  std::string output, event, on, sheet = "a4", language = "en";
  call.words("CODE", codes,
             "of pieces or batches; left out: all that is signed off and here. Or first: enter");
  call.option("-o", "FILE", output, "the PDF to write");
  call.option("--event", "NAME", event, "where, as \"Eastwold market\"; left out: a line for it");
  call.option("--on", "DATE", on, "the day, as 2026-12-05; left out: a line for it");
  call.option("--paper", "a4|letter", sheet, "sheet to print on");
  call.option("--language", "LANGUAGE", language, join(paper::languages(), ", "));
  call.parse();
  Call::check_known(language, "Language", paper::languages());
  const paper::StallSheetOptions options{paper::sheet_size(sheet), call.now()};
  Sheet out;
  out.content.language = language;
  if (!event.empty()) out.content.event = checked_text(event, "--event", longest_name);
  if (!on.empty()) out.content.day = paper::Language(language).long_date(parse_day(on, "--on"));
  out.content.maker = call.settings().maker;
  out.content.contact = call.settings().contact;
  const std::filesystem::path path = need_pdf_path(call, output);
  if (codes.empty())
    lay_all(call, out);
  else
    lay_named(call, codes, out);
  paper::write_stall_sheet(out.content, options, path);
  out.texts.insert(out.texts.end(), {{"the maker's name", out.content.maker},
                                     {"the maker's contact", out.content.contact},
                                     {"--event", out.content.event}});
  const std::vector<engine::Finding> found = claims_in_print(out.texts, true);
  Json pieces = Json::array();
  for (const paper::StallRow& row : out.content.rows) pieces.push(row.code);
  if (call.json()) {
    call.done(Json::object()
                  .set("file", path.string())
                  .set("pieces", std::move(pieces))
                  .set("left_out", Json::list(out.left_out))
                  .set("findings", to_json(found)));
    return engine::has_stop(found) ? 1 : 0;
  }
  call.say(fmt::format(
      "Sheet for the stall with {} in {}. 'trencher stall-sheet enter' enters it "
      "afterwards.",
      count_of(static_cast<std::int64_t>(out.content.rows.size()), "piece"), path.string()));
  for (const std::string& left : out.left_out) call.say_list("Left out:", left);
  call.findings(found);
  return engine::has_stop(found) ? 1 : 0;
}

}  // namespace

int stall_sheet(Call& call) {
  return call.choose_if({"enter"}).empty() ? print_sheet(call) : enter_stall_sheet(call);
}

}  // namespace trencher::commands
