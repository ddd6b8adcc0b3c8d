// The parts of suitability(), one file for each thing judged. For engine/suitability*.cpp alone.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/suitability.h"

namespace trencher::engine::checks {

// Whose rules the findings quote.
inline constexpr const char* ours = "ours";
inline constexpr const char* practice = "common practice, no source";
inline constexpr const char* food_code = "Food Code 4-101.17, read; where the line lies is ours";

// Collects the findings on one thing.
class Report {
 public:
  Report(std::string about, std::vector<Finding>& out) : about_(std::move(about)), out_(out) {}
  void add(const char* check, Result result, std::string reason, std::string source) {
    out_.push_back({check, "suitability", result, about_, std::move(reason), std::move(source)});
  }

 private:
  std::string about_;
  std::vector<Finding>& out_;
};

// "F1 Hardwax oil"
std::string name_of(const Tin& tin);
// Temperatures and percentages that come as decimals.
std::string show_c(double temp_c, Units units);
std::string show_pct(double pct);

// The air round a step, and its wood: what was logged with the step counts before the readings.
struct Air {
  std::optional<double> temp_c, rh_pct;
  std::optional<double> surface_c;  // the coldest of what was logged of wood and tin
  std::optional<double> tin_c;
  bool temp_guessed = false, rh_guessed = false;
  std::string why;  // of the guess
  // The coldest of air, wood and tin.
  std::optional<double> coldest_c() const;
};
Air air_at(const Conditions& conditions, Instant at);
Air air_of(const Step& step, const Conditions& conditions);

// The latest food-contact statement on the tin or its product; null: none.
const Statement* food_contact_statement(const SuitabilityFacts& facts, const Tin& tin);

// Says whether a food-contact statement on the tin is recorded; without one it is not known.
void judge_food_statement(const char* check, const SuitabilityFacts& facts, const Tin& tin,
                          Report& report);
// The sentence on a tin whose kind the tables do not know.
std::string unknown_kind(const Tin& tin);

// Tins of that stock as they were put on: those named by the batch or by a piece's own way, in
// order, then those only drawn from. A mix is itself.
std::vector<const Tin*> tins_put_on(const BatchWork& work, std::string_view stock);
// Likewise the tins that were received, which mixes come from.
std::vector<const Tin*> tins_of(const BatchWork& work, std::string_view stock);

void judge_wood(const SuitabilityFacts& facts, const PieceConditions& conditions, Instant now,
                std::vector<Finding>& out);
// A lot that is withdrawn: stop. Silent on the others.
void judge_withdrawn_wood(const SuitabilityFacts& facts, std::vector<Finding>& out);
void judge_glue(const SuitabilityFacts& facts, std::vector<Finding>& out);
void judge_finish(const SuitabilityFacts& facts, std::vector<Finding>& out);
void judge_others(const SuitabilityFacts& facts, std::vector<Finding>& out);
void judge_work(const SuitabilityFacts& facts, const PieceConditions& conditions, Instant now,
                std::vector<Finding>& out);
// Those that had happened.
std::vector<Turn> turns_until(const BatchWork& work, Instant at);
// One step against what came before it.
void judge_step(const SuitabilityFacts& facts, const BatchWork& before, const Step& step,
                const PieceConditions& conditions, std::vector<Finding>& out);

}  // namespace trencher::engine::checks
