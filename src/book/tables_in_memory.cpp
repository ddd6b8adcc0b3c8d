#include "book/tables_in_memory.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/kinds.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

Value value_of(const std::optional<std::int64_t>& number) {
  return number ? Value(*number) : Value();
}

// Of a map without order, in the order of its keys.
template <typename Map>
std::vector<const typename Map::value_type*> in_order(const Map& map) {
  std::vector<const typename Map::value_type*> out;
  out.reserve(map.size());
  for (const auto& one : map) out.push_back(&one);
  std::sort(out.begin(), out.end(),
            [](const auto* a, const auto* b) { return a->first < b->first; });
  return out;
}

}  // namespace

void TablesInMemory::mention(const std::string& id, std::int64_t entry, std::string_view kind,
                             bool struck) {
  put("mention", {id, entry, kind, std::int64_t{struck}});
}

void TablesInMemory::thing(const std::string& id, const std::string& class_name,
                           std::int64_t entry) {
  things_.try_emplace(id, Thing{class_name, entry}).first->second.entry = entry;
}

void TablesInMemory::count(const std::string& prefix, std::int64_t number) {
  std::int64_t& last = counters_[prefix];
  last = std::max(last, number);
}

TablesInMemory::Node TablesInMemory::node(const std::string& id) {
  const auto [at, added] = nodes_.try_emplace(id, static_cast<Node>(names_.size()));
  if (added) {
    names_.push_back(&at->first);
    reached_.emplace_back();
    reaching_.emplace_back();
  }
  return at->second;
}

void TablesInMemory::reach(const std::string& id, const std::string& reached) {
  // What one entry speaks of leads to one batch, in most cases.
  if (names_.empty() || *names_[last_reached_] != reached) last_reached_ = node(reached);
  const Node from = node(id), to = last_reached_;
  // A batch is reached from few things, while a tin may reach thousands.
  std::vector<Node>& known = reaching_[to];
  if (std::find(known.begin(), known.end(), from) != known.end()) return;
  known.push_back(from);
  reached_[from].push_back(to);
}

std::vector<std::string> TablesInMemory::reached_from(const std::vector<std::string>& ids) const {
  std::vector<std::string> out(ids);
  std::set<Node> seen;
  std::vector<Node> next;
  const auto see = [&](Node node) {
    if (seen.insert(node).second) next.push_back(node);
  };
  for (const std::string& id : ids)
    if (const auto found = nodes_.find(id); found != nodes_.end()) see(found->second);
  while (!next.empty()) {
    const Node from = next.back();
    next.pop_back();
    for (const Node to : reached_[from])
      if (things_.contains(*names_[to])) {
        if (!seen.contains(to)) out.push_back(*names_[to]);
        see(to);
      }
  }
  return out;
}

void TablesInMemory::add_batch(const std::string& batch, int pieces) {
  if (!batches_.try_emplace(batch, static_cast<std::size_t>(pieces)).second)
    throw Error::book(fmt::format("The book holds two batches {}.", batch));
}

void TablesInMemory::change_pieces(const std::string& batch, const std::vector<int>& numbers,
                                   const std::function<void(PieceRow&)>& change) {
  const auto found = batches_.find(batch);
  if (found == batches_.end()) return;
  std::vector<PieceRow>& pieces = found->second;
  if (numbers.empty()) std::for_each(pieces.begin(), pieces.end(), change);
  for (const int number : numbers)
    if (number >= 1 && static_cast<std::size_t>(number) <= pieces.size())
      change(pieces[static_cast<std::size_t>(number - 1)]);
}

void TablesInMemory::change_all(const std::function<void(PieceRow&)>& change) {
  for (auto& [batch, pieces] : batches_) std::for_each(pieces.begin(), pieces.end(), change);
}

bool TablesInMemory::has_piece(const std::string& batch, int number) {
  const auto found = batches_.find(batch);
  return found != batches_.end() && number >= 1 &&
         static_cast<std::size_t>(number) <= found->second.size();
}

void TablesInMemory::change_tin(const std::string& tin,
                                const std::function<void(std::optional<TinRow>&)>& change) {
  change(tins_[tin]);
}

void TablesInMemory::add_rags(std::int64_t coat, const std::string& batch) {
  rags_.emplace(coat, batch);
}

void TablesInMemory::take_rags(std::int64_t coat) { rags_.erase(coat); }

void TablesInMemory::add_span(const std::string& place, std::int64_t first_s, std::int64_t entry,
                              std::int64_t last_s) {
  spans_.emplace(std::tuple(place, first_s, entry), last_s);
}

void TablesInMemory::add_air(const std::string& place, const Reading& noted) {
  put("noted_air", {place, std::int64_t{noted.rh.has_value()}, noted.at.time_since_epoch().count(),
                    noted.entry, noted.temp.milli, noted.rh ? Value(noted.rh->permille) : Value()});
}

void TablesInMemory::add_wrong(std::int64_t entry, const std::string& piece, const char* what) {
  auto& known = wrong_[piece];
  if (const std::pair one(entry, std::string(what));
      std::find(known.begin(), known.end(), one) == known.end())
    known.push_back(one);
}

void TablesInMemory::take_wrong(std::int64_t entry, const std::string& piece) {
  if (const auto found = wrong_.find(piece); found != wrong_.end())
    std::erase_if(found->second, [&](const auto& one) { return one.first == entry; });
}

void TablesInMemory::settle(const std::string& piece, std::string_view what) {
  if (const auto found = wrong_.find(piece); found != wrong_.end())
    std::erase_if(found->second, [&](const auto& one) { return one.second == what; });
}

void TablesInMemory::card_has_left(const std::string& piece) {
  const auto found = wrong_.find(piece);
  if (found == wrong_.end()) return;
  std::vector<std::int64_t> entries;
  for (const auto& [entry, what] : found->second)
    if (what == "card") entries.push_back(entry);
  settle(piece, "card");
  for (const std::int64_t entry : entries) add_wrong(entry, piece, "gift");
}

void TablesInMemory::amend(std::int64_t entry, std::optional<std::int64_t> corrected_by,
                           std::optional<std::int64_t> struck_by) {
  put("amended", {entry, value_of(corrected_by), value_of(struck_by)});
}

void TablesInMemory::finish_pieces() {
  for (const auto* batch : in_order(batches_)) {
    std::vector<int> numbers(batch->second.size());
    for (std::size_t i = 0; i < numbers.size(); ++i) numbers[i] = static_cast<int>(i) + 1;
    const std::vector<std::string> codes = piece_codes(batch->first, numbers);
    std::int64_t here = 0;
    for (const int number : numbers) {
      const PieceRow& piece = batch->second[static_cast<std::size_t>(number - 1)];
      const auto at = piece.signed_off ? iso(piece.signed_off->at) : std::string();
      put("piece", {codes[static_cast<std::size_t>(number - 1)], batch->first, std::int64_t{number},
                    piece.signed_off ? Value(piece.signed_off->entry) : Value(),
                    piece.signed_off ? Value(at) : Value(), value_of(piece.given),
                    value_of(piece.scrapped), value_of(piece.turn)});
      if (!piece.given && !piece.scrapped) ++here;
    }
    if (here > 0) put("open_batch", {batch->first, here});
  }
}

void TablesInMemory::finish() {
  for (const auto* thing : in_order(things_))
    put("thing", {thing->first, thing->second.class_name, thing->second.entry});
  finish_pieces();
  for (const auto* tin : in_order(tins_))
    put("tin_use", {tin->first, tin->second->drawn_ul, tin->second->drawn_mg,
                    std::int64_t{tin->second->first.at.time_since_epoch().count()},
                    std::int64_t{tin->second->first.offset_minutes}});
  for (const auto& [coat, batch] : rags_) put("open_rags", {coat, batch});
  for (const auto* piece : in_order(wrong_))
    for (const auto& [entry, what] : piece->second) put("made_wrong", {entry, piece->first, what});
  for (const auto& [key, last_s] : spans_)
    put("readings_span", {std::get<0>(key), std::get<1>(key), std::get<2>(key), last_s});
  for (const auto& [prefix, last] : counters_) put("counter", {prefix, last});
  for (const auto* from : in_order(nodes_)) {
    std::vector<std::string_view> to;
    for (const Node reached : reached_[from->second]) to.push_back(*names_[reached]);
    std::sort(to.begin(), to.end());
    for (const std::string_view reached : to) put("reach", {from->first, reached});
  }
}

}  // namespace trencher::book
