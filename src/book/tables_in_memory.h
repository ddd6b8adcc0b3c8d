// The state's tables in memory, for folding a whole journal: some 60 bytes a piece and 20 for each
// thing that a batch is reached from. Mentions, by far the most, and noted temperatures are handed
// on as they come.
#pragma once

#include <map>
#include <span>
#include <tuple>
#include <unordered_map>

#include "book/tables.h"
#include "book/value.h"

namespace trencher::book {

class TablesInMemory : public Tables {
 public:
  // A row of a table, whose columns are in the order of schema/state.sql.
  using Use = std::function<void(std::string_view table, std::span<const Value> row)>;

  explicit TablesInMemory(Use use) : use_(std::move(use)) {}

  void mention(const std::string& id, std::int64_t entry, std::string_view kind,
               bool struck) override;
  void thing(const std::string& id, const std::string& class_name, std::int64_t entry) override;
  void count(const std::string& prefix, std::int64_t number) override;
  void reach(const std::string& id, const std::string& reached) override;
  void add_batch(const std::string& batch, int pieces) override;
  void change_pieces(const std::string& batch, const std::vector<int>& numbers,
                     const std::function<void(PieceRow&)>& change) override;
  bool has_piece(const std::string& batch, int number) override;
  void change_tin(const std::string& tin,
                  const std::function<void(std::optional<TinRow>&)>& change) override;
  void add_rags(std::int64_t coat, const std::string& batch) override;
  void take_rags(std::int64_t coat) override;
  void add_span(const std::string& place, std::int64_t first_s, std::int64_t entry,
                std::int64_t last_s) override;
  void add_air(const std::string& place, const Reading& noted) override;
  void add_wrong(std::int64_t entry, const std::string& piece, const char* what) override;
  void take_wrong(std::int64_t entry, const std::string& piece) override;
  void settle(const std::string& piece, std::string_view what) override;
  void card_has_left(const std::string& piece) override;

  void amend(std::int64_t entry, std::optional<std::int64_t> corrected_by,
             std::optional<std::int64_t> struck_by);
  void change_all(const std::function<void(PieceRow&)>& change);
  // The ids, and the batches and tins that they reach, as far as they are things.
  std::vector<std::string> reached_from(const std::vector<std::string>& ids) const;
  // Hands on all other rows, each table's in the order of its key.
  void finish();

 private:
  struct Thing {
    std::string class_name;
    std::int64_t entry = 0;
  };
  using Node = std::uint32_t;
  Node node(const std::string& id);
  void put(std::string_view table, std::initializer_list<Value> row) {
    use_(table, {row.begin(), row.size()});
  }
  void finish_pieces();

  Use use_;
  std::unordered_map<std::string, Thing> things_;
  std::map<std::string, std::int64_t, std::less<>> counters_;
  std::unordered_map<std::string, std::vector<PieceRow>> batches_;
  std::unordered_map<std::string, Node> nodes_;
  std::vector<const std::string*> names_;  // by node
  Node last_reached_ = 0;
  std::vector<std::vector<Node>> reached_;   // by node, as they came
  std::vector<std::vector<Node>> reaching_;  // the other way round
  std::unordered_map<std::string, std::optional<TinRow>> tins_;
  std::map<std::int64_t, std::string> rags_;
  std::map<std::tuple<std::string, std::int64_t, std::int64_t>, std::int64_t> spans_;
  // By piece: entries and what.
  std::unordered_map<std::string, std::vector<std::pair<std::int64_t, std::string>>> wrong_;
};

}  // namespace trencher::book
