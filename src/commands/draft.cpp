#include "commands/draft.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/shop.h"
#include "commands/tin_kind.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

constexpr std::int64_t most_pieces = 999, most_batches = 100;

using Said = std::map<std::string, std::vector<std::string>>;

Said read_words(const std::string& text) {
  static const std::vector<std::string> known{"schedule", "finish", "glue",    "pieces",
                                              "count",    "place",  "ready-by"};
  std::string spaced = text;
  std::replace(spaced.begin(), spaced.end(), ',', ' ');
  Said out;
  for (std::size_t at = 0; at < spaced.size();) {
    const auto end = std::min(spaced.find(' ', at), spaced.size());
    const std::string word = spaced.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    const auto equals = word.find('=');
    if (equals == std::string::npos || equals + 1 == word.size())
      throw Error::request(
          fmt::format("--draft '{}': '{}' says nothing; write it as schedule=oil "
                      "finish=F1 pieces=6 count=2.",
                      text, word));
    const std::string name = word.substr(0, equals);
    Call::check_known(name, "Word of --draft", known);
    if (name != "finish" && name != "glue" && out.contains(name))
      throw Error::request(fmt::format("--draft '{}' says {} twice.", text, name));
    out[name].push_back(word.substr(equals + 1));
  }
  return out;
}

bool counts(const std::string& id, std::string_view prefix) {
  return id.size() > 1 && prefix.find(id[0]) != std::string_view::npos &&
         std::all_of(id.begin() + 1, id.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// A tin of the book, with what it was mixed from; or one imagined of a product or a kind.
void add_tin(Call& call, const std::string& stock, const std::string& id, engine::Tins& tins) {
  if (counts(id, "FGX")) {
    need_tin(call, id, {stock});
    for (auto& [source, tin] : load_mix(call, id)) {
      demand_not_withdrawn(call, source);
      tins.insert_or_assign(source, tin);
    }
    return;
  }
  Tin tin;
  tin.id = id;
  tin.stock = stock;
  if (counts(id, "P")) {
    const auto product = book::find_product(call.book(), id);
    if (!product)
      Call::check_known(id, "Product", book::ids_of_class(call.book(), "product"), from_product);
    if (product->stock != stock)
      throw Error::request(
          fmt::format("--draft: {} is a product of {}, not of {}.", id, product->stock, stock));
    tin.name = product->name;
    tin.kind = product->kind;
    tin.label = product->label;
  } else {
    const TinKind kind = need_tin_kind(stock, id);
    tin.name = kind.name;
    tin.kind = id;
    tin.label = kind.label;
  }
  tins.insert_or_assign(id, tin);
}

const std::string& one(const Said& said, const std::string& name, const std::string& text) {
  const auto found = said.find(name);
  if (found == said.end())
    throw Error::request(
        fmt::format("--draft '{}' says no {}; write it as schedule=oil finish=F1 "
                    "pieces=6 count=2.",
                    text, name));
  return found->second.front();
}

}  // namespace

Draft parse_draft(Call& call, const std::string& text) {
  const Said said = read_words(text);
  Draft out;
  Batch& batch = out.work.batch;
  const std::string& schedule = one(said, "schedule", text);
  Call::check_known(schedule, "Schedule", ids_of(reference::schedules()), from_schedules);
  batch.schedule = *reference::find_schedule(schedule);
  batch.pieces =
      static_cast<int>(parse_count(one(said, "pieces", text), "pieces of --draft", 1, most_pieces));
  one(said, "finish", text);
  batch.finish = said.at("finish");
  if (said.contains("glue")) batch.glue = said.at("glue");
  if (said.contains("count"))
    out.count = static_cast<int>(
        parse_count(one(said, "count", text), "count of --draft", 1, most_batches));
  if (said.contains("ready-by"))
    out.ready_by = parse_day(one(said, "ready-by", text), "ready-by of --draft");
  std::vector<std::string> places;
  for (const Place& place : book::places(call.book())) places.push_back(place.id);
  if (!said.contains("place") && places.size() > 1)
    throw Error::request(fmt::format("--draft '{}' does not say where; add place= and one of {}.",
                                     text, join(places, ", ")));
  batch.place = need_place(call, said.contains("place") ? one(said, "place", text) : "", "").id;
  batch.at = call.zone().moment(call.now());
  const std::size_t slots = batch.schedule.slots.size();
  if (batch.finish.size() != slots)
    throw Error::request(fmt::format(
        "The schedule '{}' takes {}, one finish= each in the order of use; --draft names {}.",
        schedule, count_of(static_cast<std::int64_t>(slots), "finish", "finishes"),
        batch.finish.size()));
  for (const std::string& id : batch.finish) add_tin(call, "finish", id, out.work.tins);
  for (const std::string& id : batch.glue) add_tin(call, "glue", id, out.work.tins);
  for (int piece = 1; piece <= batch.pieces; ++piece) out.work.pieces.push_back(piece);
  return out;
}

}  // namespace trencher::commands
