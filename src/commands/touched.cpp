#include "commands/touched.h"

#include <algorithm>
#include <map>

#include "book/queries.h"

namespace trencher::commands {

std::vector<std::string> with_mixes(Call& call, const std::vector<std::string>& tins) {
  std::vector<std::string> out = tins;
  for (std::size_t i = 0; i < out.size(); ++i)
    for (const std::string& mix : book::mixes_of(call.book(), out[i]))
      if (std::find(out.begin(), out.end(), mix) == out.end()) out.push_back(mix);
  return out;
}

std::vector<TouchedPiece> pieces_touched(Call& call, const std::vector<std::string>& tins) {
  std::map<std::string, std::vector<Step>> steps;  // by batch
  for (const std::string& tin : with_mixes(call, tins))
    for (Step& step : book::steps_from(call.book(), tin))
      steps[step.batch].push_back(std::move(step));
  std::vector<TouchedPiece> out;
  for (const auto& [batch, of_batch] : steps)
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch))
      if (std::any_of(of_batch.begin(), of_batch.end(),
                      [&](const Step& step) { return names_piece(step.pieces, piece.number); }))
        out.push_back(
            {piece.code, batch, piece.number, piece.given.has_value(), piece.scrapped.has_value()});
  return out;
}

}  // namespace trencher::commands
