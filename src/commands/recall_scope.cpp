#include "commands/recall_scope.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

bool is_number(const std::string& typed) {
  return !typed.empty() &&
         std::all_of(typed.begin(), typed.end(), [](char c) { return c >= '0' && c <= '9'; });
}

bool is_among(const std::string& id, const std::vector<std::string>& ids) {
  return std::find(ids.begin(), ids.end(), id) != ids.end();
}

// A mix is withdrawn by what is in it, which has to be named itself: it may be on more boards.
std::string withdrawn_with(Call& call, const std::string& id) {
  if (!book::find_tin(call.book(), id)) return {};
  for (const auto& [source, tin] : load_mix(call, id))
    for (const Withdrawal& word : book::withdrawals_of(call.book(), source))
      return fmt::format(
          "{} is withdrawn by way of {}, which it holds: 'trencher recall {}' is of "
          "all boards that {} is on.",
          id, source, word.entry, source);
  return {};
}

void add_words(Call& call, const std::string& id, RecallScope& scope) {
  const auto words = book::withdrawals_of(call.book(), id);
  if (words.empty()) {
    const std::string with = withdrawn_with(call, id);
    throw Error::request(
        !with.empty() ? with
                      : fmt::format("{0} is not withdrawn, so nothing is recalled: 'trencher "
                                    "withdraw {0}' comes first, and --practice tries it out.",
                                    id));
  }
  for (const Withdrawal& word : words)
    if (std::none_of(scope.words.begin(), scope.words.end(),
                     [&](const Withdrawal& known) { return known.entry == word.entry; }))
      scope.words.push_back(word);
}

void add_id(const std::string& id, RecallScope& scope) {
  if (!is_among(id, scope.ids)) scope.ids.push_back(id);
}

}  // namespace

Withdrawal need_withdrawal(Call& call, const std::string& typed) {
  std::vector<std::string> known;
  for (const Withdrawal& word : book::withdrawals(call.book())) {
    known.push_back(std::to_string(word.entry));
    if (known.back() == typed) return word;
  }
  throw Error::request(fmt::format(
      "Entry '{}' is no withdrawal in force.{}", checked_text(typed, "The entry"),
      known.empty() ? " There is none." : fmt::format(" In force: {}.", join(known, ", "))));
}

RecallScope scope_of(const Withdrawal& word) { return {word.ids, {word}, {}}; }

RecallScope recall_scope(Call& call, const std::vector<std::string>& typed,
                         const SupplyOptions& supply, bool trial) {
  RecallScope scope;
  if (supply.given()) {
    SupplySearch found = supply.need(call);
    scope.ids = ids_of_supplies(found.same);
    scope.alike = std::move(found.alike);
  }
  for (const std::string& word : typed) {
    if (is_number(word)) {
      for (const std::string& id : need_withdrawal(call, word).ids) add_id(id, scope);
    } else {
      need_material(call, word);
      add_id(word, scope);
    }
  }
  if (trial) return scope;
  for (const std::string& id : scope.ids) add_words(call, id, scope);
  std::sort(scope.words.begin(), scope.words.end(),
            [](const Withdrawal& a, const Withdrawal& b) { return a.entry < b.entry; });
  return scope;
}

}  // namespace trencher::commands
