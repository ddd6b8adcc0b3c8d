// What was done to one piece, sorted out against the schedule of its batch.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "engine/schedule.h"

namespace trencher::engine {

// One product that began to cure at one moment.
struct Use {
  std::int64_t entry = 0;  // 0: still to come
  Instant start;
  std::string tin;
  std::string assumed;  // why the start is a guess; empty: it is logged
};

struct PlannedCoat {
  int slot;
  std::size_t step;  // of the schedule
  bool done = false;
};

class PieceHistory {
 public:
  // `steps` are the piece's, in order, and outlive this as `work` does.
  PieceHistory(const BatchWork& work, const std::vector<const Step*>& steps);

  const std::vector<Use>& glue_ups() const { return glue_ups_; }
  const std::vector<Use>& fitted_glue() const { return fitted_glue_; }
  const std::vector<std::vector<Use>>& coats() const { return coats_; }  // the tins of each

  bool has_plan() const { return !plan_.empty(); }
  std::vector<PlannedCoat> to_come() const;
  // Why the number of coats is a guess; empty: a label or the schedule says it.
  const std::vector<std::string>& usual_counts() const { return usual_counts_; }
  // The batch's tin of a slot; empty where it has none.
  std::string tin_of(int slot) const;
  bool scuffed_since_coat() const;

  // How far along the schedule the next step is, for telling which piece is behind, and what it is.
  std::pair<std::size_t, Progress> progress() const;

 private:
  void make_plan();
  int coats_by_label(int slot);
  void log(const Step& step);
  int take_from_plan(const std::vector<std::string>& drawn);
  int since_coat(std::string_view kind) const;
  bool scuffs_before_next(int slot) const;
  std::pair<std::size_t, std::string> next_step() const;

  const BatchWork& work_;
  std::vector<Use> glue_ups_, fitted_glue_;
  std::vector<std::vector<Use>> coats_;
  std::vector<PlannedCoat> plan_;
  std::vector<std::string> usual_counts_;
  std::map<std::string, int, std::less<>> since_coat_;  // steps by kind since the last coat
};

// The histories that pieces of the batch have, each different one once: of `piece` alone, or of all
// that still count for 0.
std::vector<PieceHistory> histories(const BatchWork& work, int piece);

// Adds `text` unless it is empty or there already.
void add_new(std::vector<std::string>& list, const std::string& text);

}  // namespace trencher::engine
