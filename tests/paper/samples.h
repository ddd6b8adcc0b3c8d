// Invented cards and records for the tests of the papers.
#pragma once

#include <string>

#include "domain/atomic_file.h"
#include "engine/card_lines.h"
#include "paper/card.h"
#include "paper/record.h"

namespace trencher::paper {

inline constexpr std::chrono::sys_seconds print_time =
    std::chrono::sys_days(std::chrono::year{2026} / 12 / 5) + std::chrono::hours(14);

// Few enough for one file.
inline CardsWritten write_cards(const std::vector<CardContent>& contents,
                                const CardOptions& options, const std::filesystem::path& path) {
  Cards cards(options);
  for (const CardContent& content : contents) cards.add(cards.design_of(content), content.code);
  return cards.write(
      [&](std::size_t, std::size_t, const std::string& bytes) { write_file_whole(path, bytes); });
}

inline std::vector<std::string> printed_lines(const CardContent& content) {
  Cards cards({a4, a6, print_time});
  return cards.printed_lines(cards.design_of(content));
}

// The lines of a card for this market, use and way of leaving, where everything that a line could
// need is there.
inline void set_lines(CardContent& card, const std::string& market, const std::string& use,
                      const std::string& as = "sale") {
  engine::CardCase given{market, use, as};
  given.glued = card.glued;
  given.self_heating = card.reoil_with.find("tung") != std::string::npos;
  given.has_address = !card.address.empty();
  given.has_contact = !card.contact.empty();
  given.has_electronic_address = card.contact.find('@') != std::string::npos;
  given.has_responsible = !card.responsible.empty();
  given.has_ingredients = !card.ingredients.empty();
  given.has_others = !card.others.empty();
  given.has_shared = !card.shared.empty();
  card.lines = engine::card_lines(given);
}

// As much as a real card may have to carry: three woods, two finishes, long names.
inline CardContent full_card() {
  CardContent card;
  card.code = "26-014-03-24";
  card.use = "cutting board";
  card.size = "400 × 250 × 22 mm";
  card.glued = true;
  card.woods = {"hard maple (Acer saccharum)", "black walnut (Juglans nigra)",
                "black cherry (Prunus serotina)"};
  card.glues = {"water-resistant PVA wood glue"};
  card.finishes = {"pure tung oil", "mineral oil with beeswax"};
  card.contains = {"tung nut", "bee product"};
  card.none_recorded = {"milk", "egg", "fish"};
  card.not_known = {"soya", "linseed"};
  card.allergen_list = "the United States";
  card.finished_on = "5 December 2026";
  card.first_contact = FirstContact::from_date;
  card.first_contact_on = "4 January 2027";
  card.reoil_months = 6;
  card.reoil_with = "pure tung oil";
  card.maker = "Workshop for Boards and Spoons at the Old Mill in Upper Exampleton";
  card.address = "12 Example Lane, Upper Exampleton, EX1 2PL";
  card.contact = "boards@workshop.example, +44 1632 960001";
  set_lines(card, "us", "cutting-board");
  return card;
}

inline CardContent short_card() {
  CardContent card;
  card.code = "26-015-01-11";
  card.use = "serving board";
  card.woods = {"beech (Fagus sylvatica)"};
  card.finishes = {"mineral oil"};
  card.reoil_months = 1;
  card.maker = "Ash & Bowl";
  set_lines(card, "us", "serving-board");
  return card;
}

inline ChartStretch stretch(bool guessed, std::vector<ChartPoint> points) {
  return {guessed, std::move(points)};
}

inline ChartContent sample_chart() {
  ChartContent chart;
  chart.from = "12 Nov 2026";
  chart.until = "2 Dec 2026";
  chart.length_hours = 480;
  chart.days = {{96, "16 Nov"}, {100, "too near"}, {240, "22 Nov"}};
  chart.steps = {{2, "glue-up"}, {60, "coat 1"}, {66, "scuff"}, {72, "coat 2"}};
  chart.temperature_unit = "°C";
  chart.temperature.stretches = {stretch(false, {{0, 17}, {100, 21}, {200, 18}}),
                                 stretch(true, {{200, 18}, {480, 18}})};
  chart.humidity.stretches = {stretch(false, {{0, 55}, {200, 61}}),
                              stretch(true, {{200, 61}, {480, 60}})};
  chart.cure = {
      {"handle", {stretch(false, {{72, 0}, {140, 1}})}},
      {"pack", {stretch(false, {{72, 0}, {200, 0.5}}), stretch(true, {{200, 0.5}, {330, 1}})}},
      {"food contact",
       {stretch(false, {{72, 0}, {200, 0.2}}), stretch(true, {{200, 0.2}, {480, 0.6}})}}};
  chart.now_hours = 200;
  return chart;
}

inline RecordContent sample_record() {
  RecordContent record;
  record.batch = "26-014";
  record.workshop = "Old Mill Boards";
  record.address = "12 Example Lane, Upper Exampleton";
  record.contact = "boards@workshop.example";
  record.made_on = "5 December 2026 14:00";
  record.summary = {{"Use", "cutting board"}, {"Size", "400 × 250 × 22 mm"}, {"Begun", ""}};
  record.pieces = {{"26-014-01-28", "here", "", "", ""},
                   {"26-014-03-24", "gift", "1 December 2026", "us", "small knot underneath"}};
  record.materials = {{"W1",
                       "wood",
                       "hard maple (Acer saccharum)",
                       "North Road Timber",
                       "A-118",
                       "",
                       "8 % moisture",
                       {}},
                      {"F1",
                       "finish",
                       "pure tung oil",
                       "Quay Supplies",
                       "L-2231",
                       "1 June 2027",
                       "1 l",
                       {"ingredients, complete, 3 May 2026"}}};
  record.entries.resize(4);
  record.entries[0] = {11, "12 Nov 2026 18:00", "", "Ada", false, "Glue-up of pieces 1-6 with G1."};
  record.entries[1] = {12,   "14 Nov 2026 18:00", "16 Nov 2026 09:00",   "Ben",
                       true, "Coat 1 of F2.",     EntryState::corrected, "the tin was F1",
                       13};
  record.entries[2] = {13, "16 Nov 2026 09:05", "", "Ada", false, "Corrects entry 12."};
  record.entries[3] = {
      14, "17 Nov 2026 09:00", "", "Ben", true, "Scuffed to grit 400.", EntryState::struck, "", 0};
  record.dates = {{"pack", "20 Nov 2026", false, "Label 14 d, cure so far 100 %."},
                  {"food contact", "4 January 2027", true, "No reading after 5 December 2026."}};
  record.findings = {{"species for this use", "26-014", "fine", "Hard and closed-grained.",
                      "FDA Food Code 4-101.17", false},
                     {"food contact statement", "F1", "not held", "No statement.", "", true}};
  record.rules = {{"eu-gpsr-art9",
                   "the European Union",
                   "Reg. (EU) 2023/988 art 9(6)",
                   "The maker's name and addresses.",
                   {{"", "held", "On the card (entry 12).", false},
                    {"F1 tung", "not known", "No paper says.", true}},
                   "market surveillance authority",
                   "2026-11-25"}};
  record.cautions = {{"Rags can catch fire by themselves.", "NFPA tip sheet"}};
  record.chart = sample_chart();
  record.book_entries = 1312;
  record.last_hash = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";
  return record;
}

}  // namespace trencher::paper
