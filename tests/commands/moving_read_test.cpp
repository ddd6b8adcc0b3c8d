#include "commands/moving_read.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

using namespace trencher::commands;

namespace {

const MovingFile& file(std::string_view name) {
  for (const MovingFile& of : moving_files())
    if (of.name == name) return of;
  FAIL("no such file: " << name);
  return moving_files().front();
}

struct Read {
  std::vector<MovingRow> rows;
  std::vector<std::string> problems;
};

Read read(std::string_view text, std::string_view name = "wood.csv") {
  std::vector<MovingProblem> problems;
  Read out{read_moving_text(file(name), text, problems), {}};
  for (const MovingProblem& problem : problems) out.problems.push_back(problem.text());
  return out;
}

using Problems = std::vector<std::string>;

}  // namespace

TEST_CASE("moving: columns in any order and of loose spelling") {
  const Read out = read("Label , WHEN,from_customer,best before\n", "wood.csv");
  CHECK(out.problems.front() ==
        "wood.csv, row 1, column best before: there is no such column. It takes: when, label, "
        "reclaimed, from-customer, species, supplier, lot, dried, moisture, origin, mark, treated, "
        "note, because, by.");
  const Read tin = read("Best before,label,When\n2027-01-01,a,2025-01-01\n", "finish.csv");
  CHECK(tin.problems.empty());
  REQUIRE(tin.rows.size() == 1);
  CHECK(tin.rows[0].cell("best-before") == "2027-01-01");
}

TEST_CASE("moving: commas or semicolons or tabs with a mark or without") {
  for (const std::string separator : {",", ";", "\t"})
    for (const std::string mark : {"", "\xEF\xBB\xBF"}) {
      const Read out =
          read(mark + "label" + separator + "when\r\n\"a;b,c\"" + separator + "2025-01-01\r\n");
      CHECK(out.problems.empty());
      REQUIRE(out.rows.size() == 1);
      CHECK(out.rows[0].cell("label") == "a;b,c");
      CHECK(out.rows[0].cell("when") == "2025-01-01");
    }
}

TEST_CASE("moving: rows are counted as a spreadsheet program counts them") {
  const Read out = read("label,when,lot\na,2025-01-01,\"x\ny\r\nz\"\n\n,,\nb,,\nc,2025-01-01,1\n");
  REQUIRE(out.rows.size() == 3);
  CHECK(out.rows[0].row == 2);
  CHECK(out.rows[1].row == 5);
  CHECK(out.rows[2].row == 6);
  CHECK(out.problems ==
        Problems{"wood.csv, row 5, column when: nothing stands here, and every row needs it."});
}

TEST_CASE("moving: every problem of the head is told") {
  CHECK(read("label,label,lott,\nx,x,x,x\n").problems ==
        Problems{"wood.csv, row 1, column label: two columns have this name.",
                 "wood.csv, row 1, column lott: there is no such column. Did you mean 'lot'? It "
                 "takes: when, label, reclaimed, from-customer, species, supplier, lot, dried, "
                 "moisture, origin, mark, treated, note, because, by.",
                 "wood.csv, row 1, column when: the column is missing, and every row needs it.",
                 "wood.csv, row 2, column 4: 'x' stands in a column without a name."});
}

TEST_CASE("moving: another encoding is one clear sentence") {
  CHECK(read("label,when\nBj\xF6rk,2025-01-01\n").problems ==
        Problems{"wood.csv: the file is not in UTF-8 (line 2 shows it first); save it as CSV in "
                 "UTF-8."});
  CHECK(read(std::string_view("\xFF\xFEl\0a\0", 6)).problems ==
        Problems{"wood.csv: the file is in UTF-16; save it as CSV in UTF-8."});
  CHECK(read("PK\x03\x04").problems ==
        Problems{"wood.csv: the file is a spreadsheet program's own, no CSV; save it as CSV in "
                 "UTF-8."});
}

TEST_CASE("moving: a row that is no CSV is told with what was read before it") {
  const Read out = read("label,when\na,2025-01-01\nb\n");
  CHECK(out.rows.size() == 1);
  CHECK(out.problems ==
        Problems{"wood.csv: line 3: this row has 1 cells and the header 2; they must be as many. "
                 "What stands behind it was not read."});
}

TEST_CASE("moving: the digest of a row is of neither people nor remarks nor the order of columns") {
  const auto digest = [](std::string_view text) {
    return read(text, "given.csv").rows.at(0).digest();
  };
  const std::string one = digest("batch,when,as,to\nb,2025-01-01,sale,Ann\n");
  CHECK(one == digest("when,to,as,batch,note\n2025-01-01,Bea,sale,b,n\n"));
  CHECK(one != digest("batch,when,as,to\nb,2025-01-02,sale,Ann\n"));
}

TEST_CASE("moving: docs/moving.md tells every file and column") {
  std::ifstream in(TRENCHER_SOURCE_DIR "/docs/moving.md");
  std::stringstream text;
  text << in.rdbuf();
  const std::string told = text.str();
  for (const MovingFile& of : moving_files()) {
    const std::size_t begin = told.find("\n`" + std::string(of.name) + "`");
    const bool of_tins = of.name == "finish.csv" || of.name == "other.csv";  // told with the glues
    CHECK((of_tins || begin != std::string::npos));
    const std::size_t table = of_tins ? told.find("\n`glue.csv`") : begin;
    const std::string part = told.substr(table, told.find("\n`", table + 2) - table);
    for (const std::string& column : names_of_columns(of))
      if (column != "when" && column != "note" && column != "because" && column != "by") {
        INFO(of.name << " " << column);
        CHECK(part.find("`" + column + "`") != std::string::npos);
      }
  }
}
