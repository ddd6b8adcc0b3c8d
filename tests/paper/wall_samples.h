// Invented wall charts, and where their words stand.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <string>
#include <vector>

#include "paper/wall_chart.h"
#include "samples.h"
#include "tools.h"

namespace trencher::paper {

using std::chrono::year;

constexpr double point = 25.4 / 72;  // mm

inline WallOptions options(Size sheet = a4) { return {sheet, "en", print_time}; }

// Weeks from Monday 30 November 2026: evenings, Saturday mornings, Sundays off.
inline WallContent plain_weeks(int weeks) {
  WallContent chart;
  chart.workshop = "Old Mill Boards";
  chart.span = "30 November 2026 and after";
  chart.made_on = "2 December 2026 18:30";
  chart.first = year{2026} / 11 / 30;
  chart.days.resize(static_cast<std::size_t>(weeks) * 7);
  for (std::size_t i = 0; i < chart.days.size(); ++i) {
    chart.days[i].off = i % 7 == 6;
    if (i % 7 < 6) chart.days[i].hours = i % 7 == 5 ? "08:00–12:00" : "18:00–21:00";
  }
  return chart;
}

inline WallContent busy_weeks(int weeks) {
  WallContent chart = plain_weeks(std::max(weeks, 4));
  const auto put = [&](std::size_t day, const WallMark& mark) {
    chart.days[day].marks.push_back(mark);
  };
  chart.today = year{2026} / 12 / 2;
  chart.self_heating = true;
  chart.days[5].market = chart.days[12].market = true;
  chart.days[5].market_name = "Exampleton green";
  put(0, {"014", WallKind::coat, 1, 3, "19:00", "F1, thin", false});
  put(0, {"014", WallKind::rags, 0, 0, "20:00", "", false});
  put(1, {"015", WallKind::glue_up, 0, 0, "18:30", "G1", false});
  put(2, {"014", WallKind::scuff, 0, 0, "18:00", "grit 400", false});
  put(2, {"014", WallKind::coat, 2, 3, "18:30", "", false});
  put(3, {"015", WallKind::sand, 0, 0, "18:00", "to 180", false});
  put(3, {"draft A", WallKind::glue_up, 0, 0, "19:30", "", false});
  put(4, {"015", WallKind::raise_grain, 0, 0, "", "", false});
  put(6, {"014", WallKind::latest, 0, 0, "12:00", "coat 3", true});
  put(7, {"014", WallKind::coat, 3, 3, "18:00", "", true});
  put(8, {"draft A", WallKind::coat, 1, 5, "18:00", "", false});
  put(9, {"014", WallKind::inspect, 0, 0, "", "", false});
  put(11, {"016", WallKind::other, 0, 0, "18:00", "fit feet", false});
  put(20, {"014", WallKind::food_contact, 0, 0, "", "", true});
  put(24, {"26 016", WallKind::promised, 0, 0, "", "", false});
  chart.days.resize(static_cast<std::size_t>(weeks) * 7);
  return chart;
}

// Far more on two days than they have room for.
inline WallContent crowded_weeks() {
  WallContent chart = busy_weeks(4);
  for (int i = 0; i < 6; ++i) {
    chart.days[10].marks.push_back({fmt::format("02{}", i), WallKind::coat, i + 1, 6, "18:45",
                                    fmt::format("wipe off after {} minutes", 20 + i), i == 2});
    chart.days[17].marks.push_back(
        {fmt::format("03{}", i), WallKind::sand, 0, 0, fmt::format("19:4{}", i), "to 240", false});
  }
  return chart;
}

struct Printed {
  Folder folder;
  std::filesystem::path pdf;
  explicit Printed(const WallContent& chart, Size sheet = a4) : pdf(folder / "w.pdf") {
    write_wall_chart(chart, options(sheet), pdf);
  }
  std::string text() const { return text_of(pdf); }
};

// A word's sizes from those of its box, DejaVu Sans: ascender 1901 / 2048, descender 483 / 2048.
inline double em(const Word& word) { return (word.bottom - word.top) / (0.928 + 0.236); }
inline double baseline(const Word& word) { return word.top + 0.928 * em(word); }
inline bool is_large(const Word& word) { return em(word) * point > 8; }

inline std::vector<Word> large_words(const std::filesystem::path& pdf) {
  std::vector<Word> out;
  for (const Word& word : words_of(pdf))
    if (is_large(word)) out.push_back(word);
  return out;
}

inline Word large_word(const std::filesystem::path& pdf, const std::string& text) {
  for (const Word& word : large_words(pdf))
    if (word.text == text) return word;
  throw std::runtime_error("no large word " + text);
}

// Words whose letters lie on each other. Only small words are taken to reach below their baseline.
inline std::string overlaps(const std::filesystem::path& pdf) {
  const auto words = words_of(pdf);
  const auto top = [](const Word& word) { return baseline(word) - 0.74 * em(word); };
  const auto bottom = [](const Word& word) {
    return baseline(word) + (is_large(word) ? 0.02 : 0.2) * em(word);
  };
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i)
    for (std::size_t j = i + 1; j < words.size(); ++j)
      if (words[i].left < words[j].right - 0.1 && words[j].left < words[i].right - 0.1 &&
          top(words[i]) < bottom(words[j]) - 0.1 && top(words[j]) < bottom(words[i]) - 0.1)
        out += words[i].text + " on " + words[j].text + "; ";
  return out;
}

}  // namespace trencher::paper
