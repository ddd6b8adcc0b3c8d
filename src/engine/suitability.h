// Judges woods, glues, finishes, fitted parts and what was done with them by the board's use.
// Hardness alone never passes a wood; a list that does not name a wood is no stop.
//
// Checks by name, on
//   wood    species-known, species-pore, species-hardness, species-toxicity, species-sensitiser,
//           softwood, spalted, reclaimed, treated, wood-moisture, wood-moisture-spread,
//           wood-moisture-air, wood-withdrawn
//   glue    glue-wet-use, glue-statement, glue-label, glue-on-oily-wood
//   finish  finish-on-use, finish-statement, finish-label, finish-solvent, finish-in-schedule,
//           finish-on-oily-wood, finish-over-finish
//   other   other-on-use, other-statement, other-cure, part-named
//   work    coat-temperature, coat-humidity, dew-point-margin, coat-too-early, coat-window,
//           mixed-tins, glue-temperature, glue-cold-in-clamps, glue-over-finish, cure-below-lowest,
//           tin-named, tin-empty, tin-out-of-date, pot-life, tin-not-yet-received,
//           tin-withdrawn, label-versions, lots-of-one-product, coats-count,
//           inspection, rags-open
//   record  lost-entries
// A limit that is kept only by guessed conditions is not known, never fine.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "domain/records.h"
#include "engine/finding.h"
#include "engine/schedule.h"

namespace trencher::engine {

// Where hardness begins to matter. The Food Code (4-101.17) asks for hard maple or an equally hard,
// close-grained wood and gives no number: the lines are ours.
inline constexpr int hard_maple_hardness_n = 6400;  // Wood Handbook table 5-3a
inline constexpr int about_as_hard_pct = 90;        // of hard maple, from here on
inline constexpr int too_soft_pct = 50;             // of hard maple, below it for a cutting board

struct SuitabilityFacts {
  BatchWork work;
  std::vector<WoodLot> wood;               // the batch's lots
  std::map<std::string, Species> species;  // by id; a lot whose species is absent: unknown
  std::map<std::string, FinishKind> finish_kinds;
  std::map<std::string, GlueKind> glue_kinds;
  std::map<std::string, OtherKind> other_kinds;
  std::vector<Statement> statements;            // on any tin, product or lot of the batch; by entry
  std::map<std::string, Amount> left;           // what is left in each tin whose amount is known
  std::map<std::string, Withdrawal> withdrawn;  // by tin (a mix that holds one too) or wood lot
  std::vector<std::int64_t> open_rags;          // coats whose rags nobody confirmed
  Units units = Units::metric;
};

std::vector<Finding> suitability(const SuitabilityFacts& facts, const PieceConditions& conditions,
                                 Instant now);

// The checks on a step as it is logged: lowest temperature, highest humidity, dew-point margin, tin
// empty, out of date, not yet received, coat before the shortest wait or after the longest without
// a scuff. `step` is not yet among facts.work.steps; facts.work.tins holds every tin it draws from,
// and facts.left what was in each before it. Stop: tin-empty, tin-out-of-date, pot-life,
// tin-not-yet-received, tin-withdrawn, wood-withdrawn, coat-too-early, glue-temperature.
std::vector<Finding> step_findings(const SuitabilityFacts& facts, const Step& step,
                                   const PieceConditions& conditions);

}  // namespace trencher::engine
