#include <algorithm>
#include <set>

#include "book/kinds.h"
#include "book/mentions.h"
#include "book/queries.h"

// What was told, withdrawn, complained of.
namespace trencher::book {
namespace {

// Every entry of a kind in force, each once, by number.
template <typename Value>
std::vector<Value> all_of_kind(const Book& book, const std::string& kind) {
  std::vector<std::int64_t> entries;
  book.sql().each(
      // As a literal, so that SQLite sees that the index mention_of_few will do.
      fmt::format(
          "SELECT DISTINCT entry FROM mention WHERE kind = '{}' AND struck = 0 ORDER BY entry",
          kind),
      [&](const Row& row) { entries.push_back(row.number(0)); });
  std::vector<Value> out;
  for (const std::int64_t entry : entries) {
    const auto effective = effective_entry(book, entry);
    out.push_back(Value::read(effective->body));
    out.back().entry = entry;
    out.back().at = effective->happened;
  }
  return out;
}

}  // namespace

std::vector<Withdrawal> withdrawals_of(const Book& book, std::string_view id) {
  return of_kind<Withdrawal>(book, id, "withdraw");
}

std::vector<Withdrawal> withdrawals(const Book& book) {
  return all_of_kind<Withdrawal>(book, "withdraw");
}

std::vector<RecallStep> recall_steps_of(const Book& book, std::int64_t withdrawal) {
  return of_kind<RecallStep>(book, entry_id(withdrawal), "recall");
}

std::vector<RecallEnd> recall_ends_of(const Book& book, std::int64_t withdrawal) {
  return of_kind<RecallEnd>(book, entry_id(withdrawal), "recall-end");
}

std::vector<KeptAnswer> answers_of(const Book& book, std::string_view batch) {
  return of_kind<KeptAnswer>(book, batch, "answer");
}

std::vector<KeptAnswer> kept_answers(const Book& book) {
  return all_of_kind<KeptAnswer>(book, "answer");
}

std::vector<Complaint> complaints_of(const Book& book, std::string_view batch) {
  return of_kind<Complaint>(book, batch, "complaint");
}

std::vector<Complaint> complaints(const Book& book) {
  return all_of_kind<Complaint>(book, "complaint");
}

std::optional<Photograph> photograph_of(const Book& book, std::string_view batch) {
  std::vector<Photograph> all = of_kind<Photograph>(book, batch, "photograph");
  return all.empty() ? std::nullopt : std::optional(std::move(all.back()));
}

std::vector<OwnRules> own_rules(const Book& book) { return all_of_kind<OwnRules>(book, "rules"); }

}  // namespace trencher::book
