#include "paper/record.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "domain/error.h"
#include "jpegs.h"
#include "paper/language.h"
#include "samples.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Contains;
using Catch::Matchers::Message;

namespace {

RecordOptions options(Size sheet = a4) { return {sheet, "en", print_time}; }

std::string printed(const RecordContent& record) {
  const Folder folder;
  write_record(record, options(), folder / "r.pdf");
  return text_of(folder / "r.pdf");
}

// Share of dark pixels along the middle of a word's small letters.
double struck_share(const std::filesystem::path& pdf, const std::string& text) {
  for (const Word& word : words_of(pdf)) {
    if (word.text != text) continue;
    constexpr int dots = 288;  // four to a point
    const Picture picture = picture_of(pdf, word.page, dots);
    double best = 0;
    for (double y = word.top; y < word.bottom; y += 0.25) {
      int dark = 0, all = 0;
      for (double x = word.left + 0.5; x < word.right - 0.5; x += 0.25, ++all)
        dark += picture.at(int(x * 4), int(y * 4)) < 128;
      best = std::max(best, double(dark) / all);
    }
    return best;
  }
  throw std::runtime_error("no word " + text);
}

}  // namespace

TEST_CASE("A record prints every part") {
  const std::string text = printed(sample_record());
  for (const char* line : {("Batch record 26-014 Old Mill Boards 12 Example Lane, Upper Exampleton "
                            "boards@workshop.example"),
                           "Use cutting board",
                           "Begun –",
                           "26-014-01-28 here – – –",
                           "26-014-03-24 gift 1 December 2026 us small knot underneath",
                           "W1 wood hard maple",
                           "Statement: ingredients, complete, 3 May 2026",
                           "pack 20 Nov 2026",
                           "4 January 2027 guessed No reading after 5 December 2026.",
                           "species for this use about 26-014 fine",
                           "Source: FDA Food Code 4-101.17",
                           "not held No statement.",
                           "Glue-up of pieces 1-6 with G1.",
                           "14 Nov 2026 18:00 written late, 16 Nov 2026 09:00 Ben, apprentice",
                           "Coat 1 of F2. Corrected by entry 13: the tin was F1",
                           "Scuffed to grit 400. Struck",
                           "Entries in the book 1312",
                           "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
                           "Name Date Signature",
                           "What the law asks is for local rules and the authorities to say.",
                           ("Printed 5 December 2026 14:00. Label, safety data sheet and local "
                            "rules come before this record.")})
    CHECK_THAT(text, Contains(line));
}

TEST_CASE("Rules and cautions are printed with what the record holds and where to ask") {
  const std::string text = printed(sample_record());
  for (const char* line :
       {"Cautions Caution Source Rags can catch fire by themselves. NFPA tip sheet",
        "Rules of the markets What a rule asks stands here, in our own words",
        "eu-gpsr-art9 the European Union: Reg. (EU) 2023/988 art 9(6)",
        "The maker's name and addresses.", "Where to ask: market surveillance authority.",
        "Last looked at: 2026-11-25.", "held On the card (entry 12).",
        "not known about F1 tung No paper says."})
    CHECK_THAT(text, Contains(line));
  RecordContent record = sample_record();
  record.rules.clear();
  record.cautions.clear();
  CHECK_THAT(printed(record), !Contains("Rules of the markets") && !Contains("Cautions"));
}

TEST_CASE("The photograph of the batch is printed once, under its heading") {
  RecordContent record = sample_record();
  CHECK_THAT(printed(record), !Contains("Photograph"));
  record.photograph = made_jpeg({300, 220, [](int x, int) { return Colour{x % 200, 90, 40}; }});
  const Folder folder;
  write_record(record, options(), folder / "r.pdf");
  check_sound(folder / "r.pdf");
  const std::string list = poppler("pdfimages -list " + (folder / "r.pdf").string());
  CHECK(std::count(list.begin(), list.end(), '\n') == 3);  // two lines of heading
  CHECK_THAT(text_of(folder / "r.pdf"), Contains("Photograph"));
}

TEST_CASE("Every language of the record has its headings and words of its own") {
  std::set<std::string> titles;
  for (const std::string& language : languages()) {
    INFO(language);
    const Folder folder;
    write_record(sample_record(), {a4, language, print_time}, folder / "r.pdf");
    const double point = 72 / 25.4;
    CHECK(collisions(folder / "r.pdf", a4.width * point, a4.height * point) == "");
    const std::string text = text_of(folder / "r.pdf");
    const Words words("record", language);
    for (const char* part :
         {"summary",     "pieces",          "dates",       "chart",       "materials",
          "findings",    "cautions",        "rules",       "history",     "book",
          "sign",        "hash-note",       "law",         "rules-note",  "state-here",
          "state-gift",  "kind-wood",       "kind-finish", "result-fine", "result-not-held",
          "result-held", "result-not-known"})
      CHECK_THAT(text, Contains(words(part)));
    titles.insert(words("title", {{"batch", "26-014"}}));
    if (language != "en") CHECK_THAT(text, !Contains("not held") && !Contains("Pieces"));
  }
  CHECK(titles.size() == languages().size());
}

TEST_CASE("A chart names its lines and coats and marks what is guessed") {
  const std::string text = printed(sample_record());
  for (const char* line :
       {"Temperature, °C", "Relative humidity, %", "Cure so far, % of each wait", "glue-up",
        "coat 1", "scuff", "coat 2", "printed", "handle", "pack", "food contact",
        "guessed: no reading", "from readings", "12 Nov 2026", "2 Dec 2026", "22 Nov"})
    CHECK_THAT(text, Contains(line));
  CHECK_THAT(text, !Contains("too near"));
}

TEST_CASE("A struck or corrected entry has a line through it and a standing one has not") {
  const Folder folder;
  write_record(sample_record(), options(), folder / "r.pdf");
  CHECK(struck_share(folder / "r.pdf", "Scuffed") > 0.95);
  CHECK(struck_share(folder / "r.pdf", "F2.") > 0.95);
  CHECK(struck_share(folder / "r.pdf", "Glue-up") < 0.8);
  CHECK(struck_share(folder / "r.pdf", "Corrects") < 0.8);
}

TEST_CASE("Records on A4 and letter are sound and nothing in them overlaps") {
  RecordContent record = sample_record();
  for (int i = 0; i < 30; ++i)
    record.chart->steps.push_back({100.0 + i * 3, "coat " + std::to_string(i)});
  for (const Size sheet : {a4, letter}) {
    const Folder folder;
    write_record(record, options(sheet), folder / "r.pdf");
    check_sound(folder / "r.pdf");
    const double point = 72 / 25.4;
    CHECK(collisions(folder / "r.pdf", sheet.width * point, sheet.height * point) == "");
  }
}

TEST_CASE("A long history runs over as many pages as it takes with each page numbered") {
  RecordContent record = sample_record();
  for (int i = 0; i < 300; ++i)
    record.entries.push_back({100 + i, "20 Nov 2026 09:00", "", "Ada", false,
                              "Reading number" + std::to_string(i) + " at house."});
  const Folder folder;
  write_record(record, options(), folder / "r.pdf");
  const int pages = pages_of(folder / "r.pdf");
  CHECK(pages > 6);
  const std::string text = text_of(folder / "r.pdf");
  for (int page = 1; page <= pages; ++page)
    CHECK_THAT(text, Contains("page " + std::to_string(page) + " of " + std::to_string(pages)));
  for (int i = 0; i < 300; ++i)
    CHECK_THAT(text, Contains("Reading number" + std::to_string(i) + " at"));
  // The table's heading stands on each page that the table is on.
  std::size_t headings = 0;
  for (std::size_t at = 0; (at = text.find("Entry Happened By What", at)) != std::string::npos;
       ++at)
    ++headings;
  CHECK(headings >= static_cast<std::size_t>(pages) - 3);
}

TEST_CASE("An entry longer than a page goes on overleaf and loses no word") {
  RecordContent record = sample_record();
  std::string what;
  for (int i = 0; i < 1500; ++i) what += "word" + std::to_string(i) + " ";
  record.entries.push_back({200, "", "", "", false, what});
  const std::string text = printed(record);
  for (int i = 0; i < 1500; ++i) CHECK_THAT(text, Contains("word" + std::to_string(i) + " "));
}

TEST_CASE("A record of an empty batch says none recorded") {
  RecordContent record;
  record.batch = "26-001";
  record.workshop = "Old Mill Boards";
  record.last_hash = "00";
  const std::string text = printed(record);
  for (const char* line :
       {"Pieces none recorded", "Findings none recorded", "History none recorded"})
    CHECK_THAT(text, Contains(line));
  CHECK_THAT(text, !Contains("Conditions and cure"));
}

TEST_CASE("A chart without readings says so and one without length is refused") {
  RecordContent record = sample_record();
  record.chart->temperature.stretches.clear();
  record.chart->humidity.stretches.clear();
  CHECK_THAT(printed(record), Contains("no readings"));
  record.chart->length_hours = 0;
  CHECK_THROWS_MATCHES(
      printed(record), Error,
      Message("A chart of conditions needs a stretch of time longer than nothing."));
}

TEST_CASE("What lies outside the axis of a chart is refused rather than left out") {
  RecordContent record = sample_record();
  record.chart->steps.push_back({481, "coat 3"});
  CHECK_THROWS_MATCHES(
      printed(record), Error,
      Message("The chart of conditions cannot show \"coat 3\" at 481 h: its axis runs "
              "from 0 to 480 h."));
  record = sample_record();
  record.chart->humidity.label = "humidity";
  record.chart->humidity.stretches[0].points[0].value = std::nan("");
  CHECK_THROWS_MATCHES(printed(record), Error,
                       Message("The chart of conditions has no number for \"humidity\" at 0 h."));
}

TEST_CASE("A label wider than the chart and a name wider than the page are refused") {
  RecordContent record = sample_record();
  record.chart->steps.push_back({5, std::string(200, 'm')});
  CHECK_THROWS_WITH(printed(record),
                    Contains("of the chart does not fit: it is ") &&
                        Contains(" mm too wide. Nothing is cut off, so shorten it."));
  record = sample_record();
  record.workshop = std::string(100, 'm');
  CHECK_THROWS_WITH(printed(record),
                    Contains("The workshop's name at the head of the record does not fit: it is "));
}

TEST_CASE("The same record gives the same bytes") {
  const Folder folder;
  write_record(sample_record(), options(), folder / "a.pdf");
  write_record(sample_record(), options(), folder / "b.pdf");
  CHECK(read_file(folder / "a.pdf") == read_file(folder / "b.pdf"));
}
