#include "commands/step_options.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Whether one step touches a piece that the other touches.
bool share_pieces(const Step& a, const Step& b) {
  if (a.pieces.empty() || b.pieces.empty()) return true;
  return std::any_of(a.pieces.begin(), a.pieces.end(),
                     [&](int piece) { return names_piece(b.pieces, piece); });
}

const Step* first_before(const BatchView& view, const Step& step, std::string_view kind) {
  for (const Step& other : view.facts.work.steps)
    if (other.kind == kind && other.entry != step.entry && other.at.at <= step.at.at &&
        share_pieces(other, step))
      return &other;
  return nullptr;
}

void check_pieces_are_here(Call& call, const BatchView& view, const Step& step) {
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code)) {
    if (!names_piece(step.pieces, piece.number)) continue;
    if (piece.given) {
      const auto gift = book::effective_entry(call.book(), *piece.given);
      if (gift->happened.at <= step.at.at)
        throw Error::request(
            fmt::format("Piece {} left on {} (entry {}); no {} can follow. Name the pieces meant "
                        "with --pieces.",
                        piece.code, show(gift->happened), *piece.given, step.kind));
    }
    if (piece.signed_off && step.kind != "move") {
      const auto sign_off = book::effective_entry(call.book(), *piece.signed_off);
      if (sign_off->happened.at <= step.at.at)
        throw Error::request(
            fmt::format("Piece {} is signed off (entry {}); to go on with it, strike that entry "
                        "first, or name the "
                        "pieces meant with --pieces.",
                        piece.code, *piece.signed_off));
    }
  }
}

}  // namespace

std::vector<Drawn> parse_drawn(Call& call, const std::vector<std::string>& typed,
                               const std::string& stock) {
  std::vector<Drawn> out;
  for (const std::string& item : typed) {
    const auto equals = item.find('=');
    Drawn part{need_tin(call, item.substr(0, equals), stock).id, {}, false};
    if (equals != std::string::npos)
      part.amount = parse_amount(item.substr(equals + 1), "--from amount");
    for (const Drawn& other : out)
      if (other.tin == part.tin)
        throw Error::request(
            fmt::format("--from names {} twice; one amount each is meant.", part.tin));
    out.push_back(std::move(part));
  }
  return out;
}

std::vector<int> parse_grits(const std::string& typed) {
  std::vector<int> out;
  for (const std::string& part : split(typed, ','))
    out.push_back(static_cast<int>(parse_count(part, "--grit", 16, 3000)));
  return out;
}

bool takes_tins(const std::string& kind) { return kind == "glue-up" || kind == "coat"; }

std::string stock_of_step(const std::string& kind) { return kind == "glue-up" ? "glue" : "finish"; }

void estimate_amounts(Step& step, const BatchView& view) {
  if (step.kind != "coat" || step.drawn.size() != 1 || step.drawn.front().amount) return;
  const Tin& tin = view.facts.work.tins.at(step.drawn.front().tin);
  const bool by_volume = !tin.amount || tin.amount->measure == Amount::Measure::volume;
  if (!tin.label.coverage || !by_volume) return;
  const std::int64_t boards =
      step.pieces.empty() ? view.batch().pieces : static_cast<std::int64_t>(step.pieces.size());
  const std::int64_t area = surface_cm2(view.batch().size) * boards;
  const std::int64_t per_litre = tin.label.coverage->value;
  step.drawn.front().amount =
      Amount{Amount::Measure::volume, (area * 1'000'000 + per_litre - 1) / per_litre};
  step.drawn.front().estimated = true;
}

void check_order(Call& call, const BatchView& view, const Step& step) {
  const Batch& batch = view.batch();
  if (step.at.at < batch.at.at)
    throw Error::request(
        fmt::format("The {} on {} lies before batch {} was begun on {} (entry {}); give --at, or "
                    "correct that entry.",
                    step.kind, show(step.at), batch.code, show(batch.at), batch.entry));
  check_pieces_are_here(call, view, step);
  const bool needs_glue_up =
      step.kind == "coat" || step.kind == "raise-grain" || step.kind == "scuff";
  if (needs_glue_up && !batch.glue.empty() && !first_before(view, step, "glue-up"))
    throw Error::request(
        fmt::format("Batch {} has no glue-up before {}; log the glue-up before the {}.", batch.code,
                    show(step.at), step.kind));
  if (step.kind == "scuff" && !first_before(view, step, "coat"))
    throw Error::request(fmt::format("Batch {} has no coat before {}; there is nothing to scuff.",
                                     batch.code, show(step.at)));
  if (step.kind == "glue-up")
    if (const Step* coat = first_before(view, step, "coat"))
      throw Error::request(fmt::format(
          "Batch {} has a coat of {} (entry {}); a glue-up comes before the first coat.",
          batch.code, show(coat->at), coat->entry));
  if (step.kind == "move" && place_at(batch, view.facts.work.steps, step.at.at) == step.place)
    throw Error::request(fmt::format("Batch {} is in {} already.", batch.code, step.place));
}

}  // namespace trencher::commands
