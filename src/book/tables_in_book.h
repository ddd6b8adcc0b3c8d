// The state's tables as they are kept in the book, changed row by row.
#pragma once

#include "book/sql.h"
#include "book/tables.h"

namespace trencher::book {

std::optional<TinRow> tin_row(Sql& sql, const std::string& tin);

class TablesInBook : public Tables {
 public:
  explicit TablesInBook(Sql& sql) : sql_(sql) {}

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

 private:
  Sql& sql_;
};

}  // namespace trencher::book
