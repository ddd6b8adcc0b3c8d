// What is to be done next with a batch and from when on: for `due`, and for the line after each
// log.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

struct Upcoming {
  std::string batch;
  std::string step;  // rags, glue-up, clamps-off, flatten, sand, raise-grain, coat, scuff, inspect,
                     // handle, pack, food-contact, sign-off, promised
  std::optional<Instant> earliest, latest;  // absent: not known, no limit
  bool guessed = false;
  std::string detail;         // "coat 2 of 3 from F1 Tung oil"
  std::vector<int> pieces{};  // those that it is about; empty: all of the batch
};

// In the order in which they come, of all pieces that are here or of some; those with which
// something else comes next, or at another time, by themselves.
std::vector<Upcoming> upcoming(Call& call, const BatchView& view,
                               const std::vector<int>& pieces = {});
// Pieces of one way that had the same done to them, those signed off by themselves.
std::vector<std::vector<int>> alike(const BatchView& view, const std::vector<int>& pieces,
                                    const std::map<int, bool>& is_signed);
// One line: what comes next with these pieces and when.
void say_next(Call& call, const std::string& batch, const std::vector<int>& pieces);
void say_next(Call& call, const BatchView& view, const std::vector<int>& pieces);
// "today 15:30", "tomorrow 15:30", "yesterday 15:30", else as show(); by the local days of both.
std::string show_near(const Moment& at, const Moment& now);
// "in 3 h, today 18:40" or "since 2 d, …"
std::string show_relative(Call& call, Instant at);

}  // namespace trencher::commands
