// The batch record: everything the book holds about one batch, on as many pages as it takes.
// Customers' names do not belong on it. All texts come already in the workshop's units, zone and
// words; an empty text means that the book does not say, and prints as a dash.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

// A line of the summary block: "Use", "cutting board".
struct RecordFact {
  std::string label;
  std::string value;
};

struct RecordPiece {
  std::string code;    // "26-014-03-24"
  std::string state;   // here, signed off, scrapped, gift, sale, private-gift: drawn in words
  std::string date;    // of that state
  std::string market;  // of a gift or sale: "us"; else empty
  std::string note;
};

// Wood, glue, finish, mix or other part.
struct RecordMaterial {
  std::string id;    // "F1"
  std::string kind;  // wood, glue, finish, mix, other: drawn in words
  std::string name;  // "hard maple (Acer saccharum)"
  std::string supplier;
  std::string lot;
  std::string best_before;              // date
  std::string detail;                   // moisture, origin, parts of a mix, amount
  std::vector<std::string> statements;  // held: "ingredients, complete, 3 May 2026, us"
};

enum class EntryState { standing, corrected, struck };

struct RecordEntry {
  std::int64_t number = 0;
  std::string happened;  // "5 Dec 2026 14:30"
  std::string
      written;     // only where it was written late or by a clock that ran backwards; else empty
  std::string by;  // worker
  bool apprentice = false;                  // not marked to sign off
  std::string what;                         // one paragraph
  EntryState state = EntryState::standing;  // others are printed struck through
  std::string why;                          // of the correction or strike
  std::int64_t superseded_by = 0;           // number of the correcting or striking entry; 0: none
  bool clock_back = false;                  // `written` by a clock that ran backwards
};

struct RecordDate {
  std::string name;  // "food contact"
  std::string at;    // date, or date and time
  bool guessed = false;
  std::string why;  // arithmetic, and for a guessed date what was missing
};

struct RecordFinding {
  std::string check;
  std::string about;   // piece, tin or market; may be empty
  std::string result;  // "fine", "caution", "stop", "not known", "held", …: drawn in words
  std::string reason;
  std::string source;
  bool open = false;  // stop, not held or not known: result in bold
};

// A rule of a market, and what the record holds for it.
struct RecordRule {
  std::string key;     // "eu-gpsr-art9"
  std::string market;  // "the European Union"
  std::string cite;
  std::string asks;
  struct Held {
    std::string about;   // "W1 hard maple"; may be empty
    std::string result;  // "held", "not held", "not known", "yours to decide"
    std::string reason;  // with the entries
    bool open = false;   // all but held: result in bold
  };
  std::vector<Held> held;
  std::string ask;       // where; empty, as `asks`: not printed
  std::string reviewed;  // "2026-11-25, over a year ago"; empty: lately
};

struct RecordCaution {
  std::string text;
  std::string source;
};

struct ChartPoint {
  double hours = 0;  // since the chart's first moment
  double value = 0;
};

// Points joined by one line: from readings (solid) or guessed (dashed). Consecutive stretches of a
// line share their border point.
struct ChartStretch {
  bool guessed = false;
  std::vector<ChartPoint> points;
};

struct ChartLine {
  std::string label;  // written at the line's end
  std::vector<ChartStretch> stretches;
};

// A moment on the time axis: a coat ("coat 1"), a glue-up, or a day ("5 Dec").
struct ChartMark {
  double hours = 0;
  std::string label;
};

// Everything in it lies within the time axis, from 0 to length_hours.
struct ChartContent {
  std::string from, until;          // "3 Dec 2026 08:00": ends of the time axis
  double length_hours = 0;          // above 0
  std::vector<ChartMark> days;      // ticks; labels that would touch are left out
  std::vector<ChartMark> steps;     // coats and glue-ups
  std::string temperature_unit;     // "°C" or "°F"
  ChartLine temperature;            // in that unit
  ChartLine humidity;               // per cent
  std::vector<ChartLine> cure;      // share of each wait, 0 to 1 (more is drawn as 1); label "pack"
  std::optional<double> now_hours;  // when the record was made, if within the axis
};

struct RecordContent {
  std::string batch;     // "26-014"
  std::string workshop;  // maker's name
  std::string address;
  std::string contact;
  std::string made_on;  // "5 December 2026 14:30", printed at the foot of each page
  std::vector<RecordFact> summary;
  std::vector<RecordPiece> pieces;
  std::vector<RecordMaterial> materials;
  std::vector<RecordEntry> entries;  // in number order
  std::vector<RecordDate> dates;
  std::vector<RecordFinding> findings;
  std::vector<RecordRule> rules;        // of the markets
  std::vector<RecordCaution> cautions;  // for whoever works on the boards
  std::string photograph;               // a JPEG file's bytes; empty: none
  std::optional<ChartContent> chart;    // none: no readings and no waits
  std::int64_t book_entries = 0;        // entries in the whole book
  std::string last_hash;                // of the book, hexadecimal
};

struct RecordOptions {
  Size sheet = a4;
  std::string language = "en";
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

// Writes the record to one PDF file, which is either whole or untouched.
// Error request: an unknown language, a text that does not fit or cannot be printed, a chart of no
// length. Error book: the font or the file.
void write_record(const RecordContent& record, const RecordOptions& options,
                  const std::filesystem::path& path);

}  // namespace trencher::paper
