// What was done with a batch as a whole: each step once more, coats, cold, rags and inspections.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "domain/code.h"
#include "domain/text.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::checks {
namespace {

// Said once for a check that every step passed, rather than once a step.
const std::map<std::string, const char*>& passed_sentences() {
  static const std::map<std::string, const char*> sentences{
      {"coat-temperature", "Every coat kept to the lowest temperature of its finish."},
      {"coat-humidity", "Every coat kept to the highest humidity of its finish."},
      {"dew-point-margin", "Every coat kept its margin over the dew point."},
      {"coat-too-early", "No coat came before the wait of the one before it was over."},
      {"coat-window", "Every coat came within the longest wait, or after a scuff."},
      {"glue-temperature", "Every glue-up kept to the lowest temperature of its glue."},
      {"tin-not-yet-received", "Every tin was received before it was used."},
      {"glue-cold-in-clamps", "No glue was below its lowest temperature in the clamps."},
      {"cure-below-lowest", "No film was below its lowest temperature while it formed."},
      {"tin-out-of-date", "No tin with a best-before was used past it."},
      {"pot-life", "No mix was used past its pot life."},
      {"tin-withdrawn", "No tin that was used is withdrawn."},
  };
  return sentences;
}

// The tins that a step put on, each source of a mix by itself.
std::vector<const Tin*> sources_of(const Tins& tins, const Step& step) {
  std::vector<const Tin*> out;
  for (const Drawn& drawn : step.drawn)
    for (const Tin* source : sources(tins, drawn.tin))
      if (std::find(out.begin(), out.end(), source) == out.end()) out.push_back(source);
  return out;
}

// Hands on what did not pass, one finding for the steps of which the same is to be said, and what
// passed throughout once a check.
void say_once(const std::vector<Finding>& all, const std::string& batch,
              std::vector<Finding>& out) {
  std::set<std::string> failed;
  for (const Finding& finding : all)
    if (finding.result != Result::fine) failed.insert(finding.check);
  for (Finding finding : all) {
    if (finding.result == Result::fine) {
      const auto sentence = passed_sentences().find(finding.check);
      if (failed.contains(finding.check) || sentence == passed_sentences().end()) continue;
      finding.about = batch;
      finding.reason = sentence->second;
    }
    const auto same = std::find_if(out.begin(), out.end(), [&](const Finding& said) {
      return said.check == finding.check && said.reason == finding.reason;
    });
    if (same == out.end())
      out.push_back(std::move(finding));
    else if (same->about != finding.about && !same->about.ends_with(", " + finding.about))
      same->about += ", " + finding.about;
  }
}

void judge_steps(const SuitabilityFacts& facts, const PieceConditions& conditions,
                 std::vector<Finding>& out) {
  BatchWork before = facts.work;
  before.steps.clear();
  for (const Step& step : facts.work.steps) {
    before.turns = turns_until(facts.work, step.at.at);
    judge_step(facts, before, step, conditions, out);
    before.steps.push_back(step);
  }
}

// Seconds of a stretch of time below a temperature, by what they are known from.
struct Below {
  double measured = 0, guessed = 0;
  bool all_known = true;  // readings throughout
};

Below below(const Conditions& conditions, Instant from, Instant to, double lowest_c) {
  Below out;
  if (from >= to) return out;
  for (const Stretch& stretch : conditions.between(from, to)) {
    if (!stretch.temp_from_c || !stretch.temp_to_c) {
      out.all_known = false;
      continue;
    }
    const double a = *stretch.temp_from_c - lowest_c, b = *stretch.temp_to_c - lowest_c;
    const double share = a >= 0 && b >= 0 ? 0
                         : a < 0 && b < 0 ? 1
                                          : std::min(a, b) / (std::min(a, b) - std::max(a, b));
    const bool guessed = !stretch.temp_why.empty();
    (guessed ? out.guessed : out.measured) += share * stretch.seconds();
    out.all_known = out.all_known && !guessed;
  }
  return out;
}

// A film of these kinds that forms too cold stays weak however long one waits; so does glue.
void judge_cold_time(const char* check, const Tin& tin, const Step& step, Instant until,
                     const char* when, const SuitabilityFacts& facts, const Conditions& conditions,
                     std::vector<Finding>& out) {
  const double lowest_c = Celsius{tin.label.lowest_temp->value}.degrees();
  const Below cold = below(conditions, step.at.at, until, lowest_c);
  const double seconds = cold.measured > 0 ? cold.measured : cold.guessed;
  const Result result = cold.measured >= 1  ? Result::stop
                        : cold.guessed >= 1 ? Result::caution
                        : cold.all_known    ? Result::fine
                                            : Result::not_known;
  const std::string limit = show_c(lowest_c, facts.units);
  const std::string reason =
      result == Result::fine ? fmt::format("{} was not below {} {}.", name_of(tin), limit, when)
      : result == Result::not_known
          ? fmt::format("Readings lack, so whether {} was below {} {} is not known.", name_of(tin),
                        limit, when)
          : fmt::format("{} was {} below {} {}{}; what forms too cold does not recover.",
                        name_of(tin), show(Seconds{static_cast<std::int64_t>(seconds)}), limit,
                        when, result == Result::caution ? " (guessed)" : "");
  Report(fmt::format("entry {}", step.entry), out)
      .add(check, result, reason, "project's notes on cure, from memory; the time watched is ours");
}

void judge_cold_films(const SuitabilityFacts& facts, const PieceConditions& all, Instant now,
                      std::vector<Finding>& out) {
  for (const Step& step : facts.work.steps) {
    const Conditions& conditions = all.of(step.pieces);
    for (const Tin* source : sources_of(facts.work.tins, step)) {
      const Tin& tin = *source;
      if (!tin.label.lowest_temp) continue;
      const Label& label = tin.label;
      if (step.kind == "glue-up" && label.clamp) {
        judge_cold_time("glue-cold-in-clamps", tin, step,
                        std::min(now, step.at.at + Seconds{label.clamp->value}), "in the clamps",
                        facts, conditions, out);
      } else if (step.kind == "coat" && (label.mechanism == Mechanism::coalescing ||
                                         label.mechanism == Mechanism::two_part)) {
        // The film counts as formed when it may be handled.
        const auto& wait = label.handle ? label.handle : label.recoat_min;
        std::optional<Instant> formed;
        if (wait)
          formed = when_reached(cure_law(label), step.at.at, Seconds{wait->value}, conditions).at;
        judge_cold_time("cure-below-lowest", tin, step, std::min(now, formed.value_or(now)),
                        "while its film formed", facts, conditions, out);
      }
    }
  }
}

// Those that still count.
std::vector<int> pieces_of(const BatchWork& work) {
  if (!work.pieces.empty()) return work.pieces;
  std::vector<int> out(static_cast<std::size_t>(std::max(work.batch.pieces, 0)));
  std::iota(out.begin(), out.end(), 1);
  return out;
}

void judge_coat_count(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  const BatchWork& work = facts.work;
  std::map<std::pair<int, int>, std::vector<int>> pieces;  // by coats done and planned
  for (const int piece : pieces_of(work)) {
    const Progress p = progress(work, piece);
    pieces[{p.coats_done, p.coats_planned}].push_back(piece);
  }
  for (const auto& [coats, numbers] : pieces) {
    const auto [done, planned] = coats;
    const std::string where = pieces.size() > 1 ? " on " + name_pieces(numbers) : "";
    const std::string logged = done == 1 ? "1 is" : fmt::format("{} are", done);
    Report report(work.batch.code, out);
    if (planned == 0)
      report.add(
          "coats-count", Result::not_known,
          fmt::format("How many coats are planned{} is not known; {} logged.", where, logged),
          ours);
    else
      report.add(
          "coats-count",
          done >= planned ? Result::fine
          : done == 0     ? Result::not_known
                          : Result::caution,
          fmt::format("Of {}, {} logged{}.", count_of(planned, "planned coat"), logged, where),
          ours);
  }
}

void judge_inspection(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  const BatchWork& work = facts.work;
  std::vector<int> bad, none, stale, returned;
  std::int64_t entry = 0;
  for (const int piece : pieces_of(work)) {
    const Step* last = nullptr;
    bool coated_since = false;
    for (const Step& step : work.steps) {
      if (!names_piece(step.pieces, piece)) continue;
      if (step.kind == "inspect") {
        last = &step;
        coated_since = false;
      } else if (step.kind == "coat") {
        coated_since = true;
      }
    }
    const bool came_back =
        last && std::any_of(work.turns.begin(), work.turns.end(), [&](const Turn& turn) {
          return turn.kind == Turn::Kind::take_back && names_piece(turn.pieces, piece) &&
                 turn.at.at > last->at.at;
        });
    if (came_back) {
      returned.push_back(piece);
    } else if (!last) {
      none.push_back(piece);
    } else if (last->result != "sound") {
      bad.push_back(piece);
      entry = last->entry;
    } else if (coated_since) {
      stale.push_back(piece);
    }
  }
  Report report(work.batch.code, out);
  if (!bad.empty())
    report.add("inspection", Result::stop,
               fmt::format("Inspection did not find {} sound.", name_pieces(bad)),
               fmt::format("entry {}", entry));
  const auto not_seen = [&](const std::vector<int>& pieces, const char* since) {
    if (!pieces.empty())
      report.add("inspection", Result::not_known,
                 fmt::format("No inspection of {} is logged{}.", name_pieces(pieces), since), ours);
  };
  not_seen(none, "");
  not_seen(stale, " since the last coat");
  not_seen(returned, " since it came back");
  if (bad.empty() && none.empty() && stale.empty() && returned.empty())
    report.add("inspection", Result::fine, "Inspection found every piece sound.", ours);
}

// Two versions of one label in one batch: what held for one may not hold for the other.
void judge_label_versions(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  std::map<std::string, std::map<int, std::vector<std::string>>> products;
  for (const char* stock : {"glue", "finish", "other"})
    for (const Tin* tin : tins_of(facts.work, stock))
      if (!tin->product.empty()) products[tin->product][tin->product_version].push_back(tin->id);
  for (const auto& [product, versions] : products) {
    if (versions.size() < 2) continue;
    std::vector<std::string> parts;
    for (const auto& [version, tins] : versions)
      parts.push_back(fmt::format("version {} with {}", version, join_words(tins)));
    Report(product, out)
        .add("label-versions", Result::caution,
             fmt::format(
                 "{} versions of the label of {} stand in this batch: {}. Waits and papers may "
                 "differ; each tin goes by its own.",
                 versions.size(), product, join_words(parts)),
             ours);
  }
}

// Tins of one product, or of one name, from different lots: they may differ in colour or shine.
void judge_lots(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  std::map<std::string, std::vector<const Tin*>> alike;
  for (const Step& step : facts.work.steps)
    if (step.kind == "coat")
      for (const Tin* tin : sources_of(facts.work.tins, step)) {
        auto& list = alike[tin->product.empty() ? tin->kind + "/" + tin->name : tin->product];
        if (std::find(list.begin(), list.end(), tin) == list.end()) list.push_back(tin);
      }
  for (const auto& [key, tins] : alike) {
    std::vector<std::string> parts;
    std::set<std::string> lots;
    for (const Tin* tin : tins) {
      parts.push_back(fmt::format("{} of lot {}", tin->id, tin->lot));
      lots.insert(tin->lot);
    }
    if (lots.size() < 2) continue;
    Report(facts.work.batch.code, out)
        .add("lots-of-one-product", Result::caution,
             fmt::format("{} went on in coats from {} lots: {}. Colour and shine may differ where "
                         "they meet.",
                         tins.front()->name, lots.size(), join_words(parts)),
             practice);
  }
}

void judge_stock_left(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  for (const auto& [id, left] : facts.left) {
    if (left.value >= 0) continue;
    const auto tin = facts.work.tins.find(id);
    if (tin == facts.work.tins.end()) continue;
    Report(id, out).add(
        "tin-empty", Result::caution,
        fmt::format("The record draws {} more from {} than it held, so an amount or a tin is "
                    "logged wrongly.",
                    show(Amount{left.measure, -left.value}, facts.units), name_of(tin->second)),
        ours);
  }
}

}  // namespace

void judge_work(const SuitabilityFacts& facts, const PieceConditions& conditions, Instant now,
                std::vector<Finding>& out) {
  std::vector<Finding> by_step;
  judge_steps(facts, conditions, by_step);
  judge_cold_films(facts, conditions, now, by_step);
  say_once(by_step, facts.work.batch.code, out);
  judge_stock_left(facts, out);
  judge_label_versions(facts, out);
  judge_lots(facts, out);
  judge_coat_count(facts, out);
  judge_inspection(facts, out);
  for (const std::int64_t entry : facts.open_rags)
    Report(fmt::format("entry {}", entry), out)
        .add("rags-open", Result::caution,
             "Nobody has confirmed that the rags of this coat are spread flat outside or under "
             "water in a "
             "metal can: they can catch fire by themselves.",
             "NFPA sheet on oily rags, read");
}

}  // namespace trencher::engine::checks
