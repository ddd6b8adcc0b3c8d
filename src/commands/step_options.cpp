#include "commands/step_options.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>

#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/amounts.h"

namespace trencher::commands {
namespace {

// Whether one step touches a piece that the other touches.
bool share_pieces(const Step& a, const Step& b) {
  if (a.pieces.empty() || b.pieces.empty()) return true;
  return std::any_of(a.pieces.begin(), a.pieces.end(),
                     [&](int piece) { return names_piece(b.pieces, piece); });
}

// "piece 3 is", "pieces 1-2 are"
std::string pieces_are(const std::vector<int>& pieces) {
  return name_pieces(pieces) + (pieces.size() == 1 ? " is" : " are");
}

const Step* first_before(const BatchView& view, const Step& step, std::string_view kind) {
  for (const Step& other : view.facts.work.steps)
    if (other.kind == kind && other.entry != step.entry && other.at.at <= step.at.at &&
        share_pieces(other, step))
      return &other;
  return nullptr;
}

void check_pieces_are_here(Call& call, const BatchView& view, const Step& step) {
  for (const book::PieceState& piece : view.pieces) {
    if (!names_piece(step.pieces, piece.number)) continue;
    const Standing standing = standing_at(view, piece.number, step.at.at);
    const auto refuse = [&](std::int64_t entry, const char* what) {
      throw Error::request(
          fmt::format("Piece {} {} on {} (entry {}); no {} can follow.", piece.code, what,
                      show(book::effective_entry(call.book(), entry)->happened), entry, step.kind));
    };
    if (standing.given) refuse(*standing.given, "left");
    if (standing.scrapped) refuse(*standing.scrapped, "was scrapped");
    // A look at it may well follow a sign-off; one that finds a fault reopens it.
    if (piece.signed_off && step.kind != "move" && step.kind != "inspect") {
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

// Readings belong to a place, and so does what was logged of the air.
void check_one_place(const BatchView& view, const Step& step) {
  std::map<std::string, std::vector<int>> places;
  for (const int piece : numbers_of(step, view.batch()))
    places[place_at(view.facts.work, piece, step.at.at)].push_back(piece);
  if (step.kind == "move") {
    const auto there = places.find(step.place);
    if (there == places.end()) return;
    throw Error::request(places.size() == 1 && step.pieces.empty()
                             ? fmt::format("Batch {} is in {} already.", step.batch, step.place)
                             : fmt::format("Of batch {}, {} in {} already.", step.batch,
                                           pieces_are(there->second), step.place));
  }
  if (places.size() < 2) return;
  std::vector<std::string> parts;
  for (const auto& [place, pieces] : places)
    parts.push_back(fmt::format("{} in {}", pieces_are(pieces), place));
  throw Error::request(fmt::format("Of batch {}, {}: log the {} for each place by itself.",
                                   step.batch, join_words(parts), step.kind));
}

}  // namespace

std::vector<Drawn> parse_drawn(Call& call, const std::vector<std::string>& typed,
                               const std::vector<std::string>& stocks) {
  std::vector<Drawn> out;
  for (const std::string& item : typed) {
    const auto equals = item.find('=');
    Drawn part{need_tin(call, item.substr(0, equals), stocks).id, {}, false};
    if (equals != std::string::npos)
      part.amount = parse_amount(item.substr(equals + 1), "--from amount");
    for (const Drawn& other : out)
      if (other.tin == part.tin)
        throw Error::request(
            fmt::format("--from names {} twice; give one amount of each tin.", part.tin));
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

bool takes_tins(const std::string& kind) {
  return kind == "glue-up" || kind == "coat" || kind == "fit";
}

std::vector<std::string> stocks_of_step(const std::string& kind) {
  if (kind == "fit") return {"other", "glue"};
  return {kind == "glue-up" ? "glue" : "finish"};
}

std::vector<int> numbers_of(const Step& step, const Batch& batch) {
  if (!step.pieces.empty()) return step.pieces;
  std::vector<int> out(static_cast<std::size_t>(batch.pieces));
  std::iota(out.begin(), out.end(), 1);
  return out;
}

std::vector<int> pieces_of_step(Call& call, const BatchView& view, const Pieces& named,
                                const std::string& typed, Instant at) {
  std::vector<int> out;
  if (!typed.empty() || !named.whole_batch) {
    out = chosen_pieces(call, named, typed);
  } else {
    for (const int piece : named.numbers) {
      const Standing standing = standing_at(view, piece, at);
      if (standing.here() && standing.way == 0) out.push_back(piece);
    }
    if (out.empty())
      throw Error::request(
          fmt::format("No piece of batch {} is here that goes the batch's own way; name the pieces "
                      "meant by their codes.",
                      named.batch));
  }
  if (static_cast<int>(out.size()) == view.batch().pieces) out.clear();
  return out;
}

void estimate_amounts(Step& step, const BatchView& view) {
  if (step.drawn.size() != 1 || step.drawn.front().amount) return;
  Drawn& drawn = step.drawn.front();
  const Tin& tin = view.facts.work.tins.at(drawn.tin);
  const auto boards = static_cast<std::int64_t>(numbers_of(step, view.batch()).size());
  const bool by_volume = !tin.amount || tin.amount->measure == Amount::Measure::volume;
  if (step.kind == "coat" && tin.label.coverage && by_volume)
    drawn.amount =
        engine::coat_amount(view.batch().size, boards, Coverage{tin.label.coverage->value});
  else if (step.kind == "glue-up" && step.strips && (!tin.amount || !by_volume))
    drawn.amount = engine::glue_amount(view.batch().size, boards, *step.strips);
  drawn.estimated = drawn.amount.has_value();
}

std::vector<std::string> kinds_drawn(const Step& step, const BatchView& view) {
  std::vector<std::string> out;
  for (const Drawn& part : step.drawn)
    for (const Tin* source : engine::sources(view.facts.work.tins, part.tin))
      if (std::find(out.begin(), out.end(), source->kind) == out.end()) out.push_back(source->kind);
  return out;
}

bool heats_by_itself(const Step& step, const BatchView& view) {
  const auto heats = [&](const Step& of) {
    const auto kinds = kinds_drawn(of, view);
    return std::any_of(kinds.begin(), kinds.end(), [&](const std::string& id) {
      const auto kind = view.facts.finish_kinds.find(id);
      return kind != view.facts.finish_kinds.end() && kind->second.self_heating_rags;
    });
  };
  if (step.kind == "coat") return heats(step);
  // Pads, and the dust of what has not cured, count with the rags; how far it has cured nobody
  // measures.
  if (step.kind != "scuff" && step.kind != "sand") return false;
  const auto& steps = view.facts.work.steps;
  return std::any_of(steps.begin(), steps.end(), [&](const Step& other) {
    return other.kind == "coat" && other.at.at <= step.at.at && heats(other);
  });
}

std::optional<Amount> sum_of(const std::vector<Drawn>& drawn) {
  std::optional<Amount> out;
  for (const Drawn& part : drawn) {
    if (!part.amount || (out && out->measure != part.amount->measure)) return {};
    out = Amount{part.amount->measure, part.amount->value + (out ? out->value : 0)};
  }
  return out;
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
  check_one_place(view, step);
}

}  // namespace trencher::commands
