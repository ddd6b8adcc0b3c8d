// What was done to one piece, sorted out against the schedule of its batch.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
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

// One thing that the schedule still asks for.
struct ToDo {
  std::size_t place;  // along the schedule
  std::string step;   // glue-up, sand, raise-grain, coat, scuff, inspect
  std::optional<std::size_t> schedule_step;
  int slot = 0, coat = 0;  // coat, and the scuff before it: counted from 1
};

class PieceHistory {
 public:
  // `steps` and `turns` are the piece's, in order, and outlive this as `work` does.
  PieceHistory(const BatchWork& work, int piece, const std::vector<const Step*>& steps,
               const std::vector<const Turn*>& turns);

  int piece() const { return piece_; }
  const std::vector<Use>& glue_ups() const { return glue_ups_; }
  const std::vector<Use>& fitted() const { return fitted_; }  // glue and other things that cure
  const std::vector<std::vector<Use>>& coats() const { return coats_; }  // the tins of each
  // Those that were on it when it came back used.
  const std::vector<std::vector<Use>>& worn_coats() const { return worn_coats_; }
  // The tins of the last coat on it, put on in this life or before; null: none is.
  const std::vector<Use>* last_coat() const;
  // What its owner put on it is not known, and why; empty: known to be nothing, or it never left.
  const std::string& owner_unknown() const { return owner_unknown_; }
  bool came_back_used() const { return came_back_used_; }

  bool has_plan() const { return !plan_.empty(); }
  std::vector<PlannedCoat> to_come() const;
  // Why the number of coats is a guess; empty: a label or the schedule says it.
  const std::vector<std::string>& usual_counts() const { return usual_counts_; }
  // The batch's tin of a slot; empty where it has none.
  std::string tin_of(int slot) const;
  // What begins to cure when that tin is put on: a mix is the tins that it comes from.
  std::vector<Use> uses(std::int64_t entry, Instant start,
                        const std::vector<std::string>& tins) const;
  bool scuffed_since_coat() const;
  bool scuffs_between_coats(int slot) const;
  const Schedule& schedule() const { return *schedule_; }
  // All that is to be done by the schedule, in order.
  std::vector<ToDo> to_do() const;

  // How far along the schedule the next step is, for telling which piece is behind, and what it is.
  std::pair<std::size_t, Progress> progress() const;

 private:
  void make_plan();
  int coats_by_label(int slot);
  std::vector<Use> others(const Step& step) const;
  void log(const Step& step);
  void turn(const Turn& turn);
  int take_from_plan(const std::vector<std::string>& drawn);
  int since_coat(std::string_view kind) const;

  const BatchWork& work_;
  int piece_;
  const Schedule* schedule_;
  const std::vector<std::string>* finish_;  // in the order of the schedule's slots
  std::vector<Use> glue_ups_;
  std::vector<Use> fitted_;  // and what else than finish was in a coat
  std::vector<std::vector<Use>> coats_, worn_coats_;
  int coats_of_plan_ = 0;  // since the plan was made
  std::string owner_unknown_;
  bool came_back_used_ = false;
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
