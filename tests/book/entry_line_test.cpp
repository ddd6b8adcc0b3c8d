#include "book/entry_line.h"

#include <catch2/catch.hpp>
#include <random>
#include <string>

#include "domain/error.h"

using namespace trencher;
using namespace trencher::book;

namespace {

const Entry coat{.number = 12,
                 .happened = {instant_from_iso("2026-03-01T08:30:00Z"), -90},
                 .written_at = instant_from_iso("2026-03-01T09:00:00Z"),
                 .written_by = 1,
                 .kind = "coat",
                 .kind_version = 2,
                 .body = "{\"batch\":\"26-014\",\"text\":\"a \\\"b\\\" \\n é\"}",
                 .hash = std::string(64, 'a')};

// What the reader of any JSON makes of a line, written as a line again; and why it refuses one.
std::string by_tree(const std::string& line) {
  try {
    return line_of(entry_from_line(Json::parse(line))).text();
  } catch (const Error& failure) {
    return failure.what();
  }
}

std::string by_line(const std::string& line) {
  try {
    const auto entry = read_entry_line(line);
    return entry ? line_of(*entry).text() : "in doubt";
  } catch (const Error& failure) {
    return failure.what();
  }
}

}  // namespace

TEST_CASE("entry line: one as an export writes it is read whole") {
  const std::string line = line_of(coat).text();
  CHECK(by_line(line) == line);
  const auto read = read_entry_line(line);
  REQUIRE(read.has_value());
  CHECK(read->body == coat.body);
  CHECK(read->happened == coat.happened);
  CHECK(read->hash == coat.hash);
}

TEST_CASE("entry line: what stands otherwise is left to the reader of any JSON") {
  const std::string line = line_of(coat).text();
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string out = line;
    return out.replace(out.find(from), from.size(), to);
  };
  for (const std::string& other :
       {line + " ", line.substr(0, line.size() - 1), with("12", "012"), with("12", "-0"),
        with("12", "1.5"), with("12", "1e1"), with("12", ""), with("12", "9007199254740993"),
        with("coat", "c\\u006fat"), with("coat", "c\\/t"), with("coat", "\xFF"), with("coat", "\t"),
        with("\"kind\":", "\"kind\": "), with("\"kind\"", "\"sort\""),
        with(",\"hash\"", "\"hash\""), std::string(), std::string("{\"trailer\":{}}")}) {
    CAPTURE(other);
    CHECK(by_line(other) == "in doubt");
  }
  CHECK(by_line(with("-90", "1440")) == by_tree(with("-90", "1440")));
  CHECK(by_line(with("08:30", "08:61")) == by_tree(with("08:30", "08:61")));
}

TEST_CASE("entry line: what is read of a line with a byte changed is what the tree reads") {
  const std::string line = line_of(coat).text();
  std::mt19937 random(7);
  int believed = 0;
  for (int round = 0; round < 20'000; ++round) {
    std::string other = line;
    char& byte = other[random() % other.size()];
    byte = round % 2 ? static_cast<char>(byte ^ (1 << random() % 8))
                     : "\"\\{}[]:,0123-. \n"[random() % 17];
    const std::string read = by_line(other);
    if (read == "in doubt") continue;
    ++believed;
    CAPTURE(other);
    REQUIRE(read == by_tree(other));
  }
  CHECK(believed > 5000);
}
