// A text in parts is read as the text in one piece.
#include <catch2/catch.hpp>

#include "../domain/refusal.h"
#include "exchange/csv.h"

namespace {

using trencher::exchange::CsvReader;

// "line: cells between bars" of each row, of a text in parts of so many bytes, and the refusal.
std::vector<std::string> rows(std::string_view text, std::size_t size) {
  std::vector<std::string> out;
  const std::string refused = refusal([&] {
    CsvReader reader("t.csv", ',', [&](std::size_t line, const auto& cells) {
      out.push_back(std::to_string(line) + ":");
      for (const std::string& cell : cells) out.back() += "|" + cell;
    });
    for (; !text.empty(); text.remove_prefix(std::min(size, text.size())))
      reader.take(text.substr(0, size));
    reader.finish();
  });
  out.push_back(refused);
  return out;
}

constexpr const char* fine = "nothing was refused";

}  // namespace

TEST_CASE("csv in parts: wherever the parts end the rows and their lines are the same") {
  const std::vector<std::string> expected{"2:|a|b", "4:|1|x\r\n\r\ny", "8:|2|\"", "9:|3|", fine};
  for (const char* end : {"\n", "\r\n", "\r"}) {
    std::string text = "\xEF\xBB\xBF";
    for (const char* line : {"", "a,b", "", "1,\"x\r\n\r\ny\"", "", "2,\"\"\"\"", "3,"})
      text.append(line).append(end);
    for (std::size_t size = 1; size <= text.size(); ++size) {
      INFO(text << " in parts of " << size);
      CHECK(rows(text, size) == expected);
    }
  }
}

TEST_CASE("csv in parts: an empty part changes nothing") {
  std::vector<std::string> seen;
  CsvReader reader("t.csv", ';', [&](std::size_t line, const auto& cells) {
    seen.push_back(std::to_string(line) + cells.back());
  });
  for (const char* part : {"", "a;", "", "b\r", "", "\n1", ";2\r", "\n", "", "\n3;4"})
    reader.take(part);
  reader.finish();
  CHECK(seen == std::vector<std::string>{"1b",
                                         "2"
                                         "2",
                                         "4"
                                         "4"});
}

TEST_CASE("csv in parts: an error names the same line") {
  for (std::size_t size = 1; size < 20; ++size) {
    CHECK(rows("a,b\r\n1,2\r\n3\r\n", size).back() ==
          "request: t.csv, line 3: this row has 1 cells and the header 2; they must be as many.");
    CHECK(rows("a\n\n1,\"x\"y\n", size).back() ==
          "request: t.csv, line 3: a quote stands where none may; a cell with quotes is quoted "
          "whole and its quotes are doubled.");
    CHECK(rows("a\n1\n\"open\n\n", size).back() ==
          "request: t.csv, line 3: a quoted cell in the row that begins here is never closed; it "
          "must end in a quote.");
    CHECK(rows("\n\n", size).back() ==
          "request: t.csv is empty; its first line must name the columns.");
  }
  CHECK(rows("\xEF\xBB", 1).size() == 2);  // half a mark is text
}

TEST_CASE("csv in parts: what is refused was preceded by the rows above it") {
  CHECK(rows("a\n1\n2,3\n", 3).size() == 3);
}

TEST_CASE("csv in parts: a row of over a million bytes is refused where it begins") {
  const std::string long_cell(1'000'000, 'x');
  const std::string sentence =
      "request: t.csv, line 2: the row that begins here is longer than a million bytes; is a "
      "quoted cell in it never closed?";
  CHECK(rows("a\n\"" + long_cell + "\n", 4096).back() == sentence);
  CHECK(rows("a\n" + long_cell, 4096).back() == fine);
  // Short rows add up to as much as one likes, and so do blank lines.
  std::string many = "a\n";
  for (int i = 0; i < 300'000; ++i) many += "12345\n";
  CHECK(rows(many, 65536).size() == 300'002);
  CHECK(rows("a\n" + std::string(2'000'000, '\n') + "1", 65536) ==
        std::vector<std::string>{"1:|a", "2000002:|1", fine});
}
