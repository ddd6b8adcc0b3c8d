#include "commands/sheets.h"

#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "book/kinds.h"

using namespace trencher;

TEST_CASE("sheets: every kind of entry goes into one sheet") {
  std::map<std::string_view, int> of_kind;
  for (const commands::EntrySheet& sheet : commands::sheets())
    for (const std::string_view kind : sheet.kinds) {
      CHECK(book::version_written(kind) > 0);
      ++of_kind[kind];
    }
  for (const auto& [kind, count] : of_kind) CHECK(count == 1);
  CHECK(of_kind.size() == book::kinds().size());
  for (const std::string_view kind : book::kinds()) CHECK(of_kind.contains(kind));
}

TEST_CASE("sheets: files and the columns of one have names of their own") {
  std::set<std::string_view> files;
  for (const commands::EntrySheet& sheet : commands::sheets()) {
    CHECK(files.insert(sheet.file).second);
    std::set<std::string_view> columns{"entry",   "kind",    "day",      "happened",
                                       "written", "by",      "standing", "amended_by",
                                       "note",    "because", "more"};
    for (const commands::SheetColumn& column : sheet.columns) {
      INFO(sheet.file << " " << column.name);
      CHECK((columns.insert(column.name).second ||
             (column.name == "kind" && sheet.kinds.size() == 1)));
    }
  }
}
