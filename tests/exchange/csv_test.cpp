#include "exchange/csv.h"

#include <catch2/catch.hpp>
#include <limits>

#include "domain/error.h"

namespace {

using trencher::Error;
using trencher::exchange::csv_field;
using trencher::exchange::csv_record;
using trencher::exchange::CsvTable;
using trencher::exchange::sheet_record;
using trencher::exchange::SheetRow;

// The whole table as one line of text: cells between bars, rows between slashes.
std::string shown(std::string_view text) {
  const CsvTable table = CsvTable::parse(text, "t.csv");
  std::string line;
  const auto add = [&](const std::vector<std::string>& cells) {
    for (const std::string& cell : cells) line += "|" + cell;
    line += "|/";
  };
  add(table.header());
  for (std::size_t i = 0; i < table.size(); ++i) add(table.row(i));
  return line;
}

}  // namespace

// The numbered rules are those of RFC 4180 section 2 (from memory).
TEST_CASE("csv: the rules of RFC 4180 hold") {
  CHECK(shown("a,b,c\r\nd,e,f\r\n") == "|a|b|c|/|d|e|f|/");  // 1
  CHECK(shown("a,b,c\r\nd,e,f") == "|a|b|c|/|d|e|f|/");      // 2: last line end left out
  CHECK(shown("a,b\r\n x , y \r\n") == "|a|b|/| x | y |/");  // 4: spaces belong to a cell
  CHECK(shown("\"a\",\"b\"\r\nd,e\r\n") == "|a|b|/|d|e|/");  // 5
  CHECK(shown("a,b\r\n\"x\r\ny\",\"1,2\"\r\n") == "|a|b|/|x\r\ny|1,2|/");  // 6
  CHECK(shown("a\r\n\"b\"\"b\"\r\n") == "|a|/|b\"b|/");                    // 7
}

TEST_CASE("csv: line ends of any system and a byte order mark are read") {
  const std::string expected = "|a|b|/|1|2|/|3|4|/";
  CHECK(shown("a,b\n1,2\n3,4\n") == expected);
  CHECK(shown("a,b\r1,2\r3,4\r") == expected);
  CHECK(shown("\xEF\xBB\xBF"
              "a,b\n\n1,2\n\n\n3,4") == expected);
}

TEST_CASE("csv: empty cells are read") {
  CHECK(shown("a,b,c\n,,\n1,,\n") == "|a|b|c|/||||/|1|||/");
}

TEST_CASE("csv: a row knows the line on which it begins") {
  const auto table = CsvTable::parse("a,b\n\n1,\"x\n\ny\"\n2,z\n", "t.csv");
  REQUIRE(table.size() == 2);
  CHECK(table.line(0) == 3);
  CHECK(table.line(1) == 6);
}

TEST_CASE("csv: an error names the file and the line") {
  const auto fails = [](std::string_view text, const std::string& sentence) {
    CHECK_THROWS_MATCHES(CsvTable::parse(text, "t.csv"), Error, Catch::Message(sentence));
  };
  fails("a,b\n1,2\n3\n",
        "t.csv, line 3: this row has 1 cells and the header 2; they must be as many.");
  fails("a,b\n1,\"x\ny\"\n3,4,5\n",
        "t.csv, line 4: this row has 3 cells and the header 2; they must be as many.");
  fails("a,b\n1,2\n3,\"open\nnever closed\n",
        "t.csv, line 3: a quoted cell in the row that begins here is never closed; it must end in "
        "a quote.");
  fails("a,b\n1,x\"y\n",
        "t.csv, line 2: a quote stands where none may; a cell with quotes is quoted whole and its "
        "quotes are doubled.");
  fails("a,b\n1,\"x\"y\n",
        "t.csv, line 2: a quote stands where none may; a cell with quotes is quoted whole and its "
        "quotes are doubled.");
  fails("", "t.csv is empty; its first line must name the columns.");
}

TEST_CASE("csv: columns are found by name") {
  const auto table = CsvTable::parse("at,t,t\n1,2,3\n", "t.csv");
  CHECK(table.column("at") == 0);
  CHECK_FALSE(table.find_column("rh").has_value());
  CHECK_THROWS_MATCHES(table.column("rh"), Error,
                       Catch::Message("t.csv: there is no column 'rh' among: at, t, t."));
  CHECK_THROWS_MATCHES(table.column("t"), Error,
                       Catch::Message("t.csv: two columns are named 't'; a column that is read "
                                      "must have a name of its own."));
}

TEST_CASE("csv: what is written is read back unchanged") {
  CHECK(csv_field("plain text") == "plain text");
  CHECK(csv_field("a,b") == "\"a,b\"");
  CHECK(csv_field("7/8\" board") == "\"7/8\"\" board\"");
  const std::vector<std::string> cells{"\uFEFFa", "",           " spaced ",  "a,b",
                                       "\"",      "two\nlines", "caf\u00e9", "\r"};
  const auto table = CsvTable::parse(csv_record(cells) + csv_record(cells), "t.csv");
  CHECK(table.header() == cells);
  REQUIRE(table.size() == 1);
  CHECK(table.row(0) == cells);
}

TEST_CASE("csv: no cell of a sheet begins a formula") {
  const std::vector<std::string> cells{"=1+1",  "+44",         "-1",  "@x",  "  =1", "\u00A0=1",
                                       "＝1",   "＋1",         "－1", "＠x", " ＝1", "a;=1",
                                       "a; +1", ";-1;\u3000@", "1-1", "",    "'=",   "a=b",
                                       "a;b",   "O'Brien",     "Zoë", "עץ",  "🪵"};
  const auto table = CsvTable::parse(sheet_record(cells), "t.csv");
  CHECK(table.header() ==
        std::vector<std::string>{"'=1+1",  "'+44",          "'-1",  "'@x",  "'  =1", "'\u00A0=1",
                                 "'＝1",   "'＋1",          "'－1", "'＠x", "' ＝1", "a;'=1",
                                 "a;' +1", ";'-1;'\u3000@", "1-1",  "",     "'=",    "a=b",
                                 "a;b",    "O'Brien",       "Zoë",  "עץ",   "🪵"});
}

TEST_CASE("csv: a cell that stands as it is in a sheet is what the long way makes of it") {
  for (int first = 0; first < 256; ++first)
    for (const char* behind : {"", "a", ";=a", " =a", "\"", ",", "\n", "\u00FC"}) {
      const std::string cell = std::string(1, static_cast<char>(first)) + behind;
      CAPTURE(first, behind);
      CHECK(sheet_record(std::vector{cell, std::string("x") + cell, std::string()}) ==
            SheetRow().text(cell).text("x" + cell).blank().record());
    }
  const std::string cut(20'001, 'a');
  CHECK(sheet_record(std::vector{cut}) == SheetRow().text(cut).record());
}

TEST_CASE("csv: a sheet holds no control character") {
  const std::vector<std::string> cells{"\t=x", "a\r\n=1", "a\x1b[1m", "caf\xE9", "a\u202E"};
  CHECK(sheet_record(cells) == "\uFFFD=x,a\uFFFD\uFFFD=1,a\uFFFD[1m,caf\uFFFD,a\uFFFD\r\n");
}

TEST_CASE("csv: numbers of a sheet are exact and stay numbers") {
  trencher::exchange::SheetRow row;
  row.number(-5).scaled(-7500, 3).scaled(8, 3).scaled(-1, 1).scaled(0, 3).scaled(20000, 3);
  row.number(std::numeric_limits<std::int64_t>::min()).blank().text("-5");
  CHECK(row.record() == "-5,-7.5,0.008,-0.1,0,20,-9223372036854775808,,'-5\r\n");
  CHECK(row.text("a").record() == "a\r\n");
}

TEST_CASE("csv: JSON in a sheet reads as what it was and begins no formula") {
  trencher::exchange::SheetRow row;
  CHECK(row.json(R"({"a":"x;=1","b":"Øst"})").record() ==
        "\"{\"\"a\"\":\"\"x\\u003b=1\"\",\"\"b\"\":\"\"Øst\"\"}\"\r\n");
  // What hides or turns the direction is spelled out; so is what stands beside it.
  CHECK(row.json("[\"a\u202Eb\U0001FAB5\"]").record() ==
        "\"[\"\"a\\u202eb\\ud83e\\udeb5\"\"]\"\r\n");
}
