#include "commands/touched.h"

#include <algorithm>
#include <map>

#include "book/queries.h"

namespace trencher::commands {
namespace {

// The tin itself and every mix that holds it, each once.
std::vector<std::string> with_mixes(Call& call, const std::string& tin) {
  std::vector<std::string> out{tin};
  for (std::size_t i = 0; i < out.size(); ++i)
    for (const std::string& mix : book::mixes_of(call.book(), out[i]))
      if (std::find(out.begin(), out.end(), mix) == out.end()) out.push_back(mix);
  return out;
}

struct TouchedBatch {
  Touch touch;
  std::vector<int> pieces;  // empty: all
};

}  // namespace

std::vector<TouchedPiece> pieces_touched(Call& call, const std::vector<std::string>& ids) {
  std::map<std::string, std::vector<TouchedBatch>> batches;
  for (const std::string& id : ids) {
    for (const std::string& code : book::batches_of_lot(call.book(), id)) {
      const Batch batch = *book::find_batch(call.book(), code);
      if (std::find(batch.wood.begin(), batch.wood.end(), id) != batch.wood.end())
        batches[code].push_back({{id, id, batch.entry, batch.at}, {}});
    }
    for (const std::string& by : with_mixes(call, id))
      for (const Step& step : book::steps_from(call.book(), by))
        batches[step.batch].push_back({{id, by, step.entry, step.at}, step.pieces});
  }
  std::vector<TouchedPiece> out;
  for (const auto& [batch, ways] : batches)
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch)) {
      TouchedPiece touched{
          piece.code, batch, piece.number, piece.given.has_value(), piece.scrapped.has_value(), {}};
      for (const auto& [touch, pieces] : ways)
        if (names_piece(pieces, piece.number)) touched.touches.push_back(touch);
      std::stable_sort(touched.touches.begin(), touched.touches.end(),
                       [](const Touch& a, const Touch& b) { return a.entry < b.entry; });
      if (!touched.touches.empty()) out.push_back(std::move(touched));
    }
  return out;
}

}  // namespace trencher::commands
