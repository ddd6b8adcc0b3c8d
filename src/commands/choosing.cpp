#include "commands/choosing.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/describe.h"
#include "commands/named.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

bool is_withdrawn(Call& call, const std::string& id) {
  return !book::withdrawals_of(call.book(), id).empty();
}

}  // namespace

std::vector<Choice> tins_to_choose(Call& call, const std::string& stock) {
  std::vector<Choice> out;
  for (const std::string& id : book::ids_of_class(call.book(), stock)) {
    const auto tin = book::find_tin_unopened(call.book(), id);
    if (tin && !is_withdrawn(call, id))
      out.push_back(
          {id, tin->lot.empty() ? tin->name : fmt::format("{}, lot {}", tin->name, tin->lot)});
  }
  return out;
}

std::vector<Choice> lots_to_choose(Call& call) {
  std::vector<Choice> out;
  for (const std::string& id : book::ids_of_class(call.book(), "wood")) {
    const auto lot = book::find_wood(call.book(), id);
    if (lot && !is_withdrawn(call, id))
      out.push_back(
          {id, fmt::format("{}, from {}, lot {}", lot->common_name, lot->supplier, lot->lot)});
  }
  return out;
}

std::vector<Choice> species_to_choose(Call& call) {
  std::vector<Choice> out;
  for (const Species& wood : reference::species()) out.push_back({wood.id, wood.common_name});
  for (const Species& own : book::own_species(call.book()))
    out.push_back({own.id, own.common_name});
  return out;
}

std::vector<Choice> tin_kinds_to_choose(const std::string& stock) {
  if (stock == "glue") return kinds_to_choose(reference::glues());
  if (stock == "other") return kinds_to_choose(reference::others());
  return kinds_to_choose(reference::finishes());
}

std::vector<Choice> products_to_choose(Call& call) {
  std::vector<Choice> out;
  for (const std::string& id : book::ids_of_class(call.book(), "product"))
    if (const auto product = book::find_product(call.book(), id))
      out.push_back({id, product->name});
  return out;
}

std::vector<Choice> batches_to_choose(Call& call) {
  std::vector<Choice> out;
  for (const std::string& code : book::open_batches(call.book())) {
    const auto batch = book::find_batch(call.book(), code);
    if (!batch) continue;
    std::vector<std::string> woods;
    for (const std::string& id : batch->wood)
      if (const auto lot = book::find_wood(call.book(), id)) woods.push_back(lot->common_name);
    out.push_back({code, fmt::format("{}, {}, {}", count_of(batch->pieces, "board"),
                                     use_in_words(batch->use, "en"), join_words(woods))});
  }
  return out;
}

std::vector<Choice> entries_to_choose(Call& call) {
  constexpr std::int64_t most = 10;
  std::vector<Choice> out;
  const std::int64_t last = call.book().entry_count();
  for (std::int64_t number = last; number > std::max<std::int64_t>(0, last - most); --number)
    if (const auto entry = book::effective_entry(call.book(), number))
      out.push_back({std::to_string(number), describe(call, entry->entry.kind, entry->body)});
  return out;
}

}  // namespace trencher::commands
