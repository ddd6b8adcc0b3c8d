// The table of commands. Each is a function in a file of its own name; only the one that is called
// declares its options.
#pragma once

#include <span>
#include <string_view>

#include "commands/call.h"

namespace trencher::commands {

struct Command {
  std::string_view name;
  std::string_view summary;  // what it does, without a full stop
  Access access;
  int (*run)(Call&);
};

std::span<const Command> commands();

int overview(Call& call);  // of `trencher` without a command
int start(Call& call);
int tour(Call& call);
int workshop(Call& call);
int worker(Call& call);
int place(Call& call);
int product(Call& call);
int receive(Call& call);
int mix(Call& call);
int open_tin(Call& call);
int withdraw(Call& call);
int recall(Call& call);
int complaint(Call& call);
int people(Call& call);
int forget(Call& call);
int statement(Call& call);
int photograph(Call& call);
int stall_sheet(Call& call);
int offer(Call& call);
int batch(Call& call);
int log(Call& call);
int readings(Call& call);
int due(Call& call);
int when(Call& call);
int findings(Call& call);
int sign_off(Call& call);
int give(Call& call);
int scrap(Call& call);
int split_off(Call& call);
int take_back(Call& call);
int card(Call& call);
int record(Call& call);
int answer(Call& call);
int answers(Call& call);
int trace(Call& call);
int plan(Call& call);
int calendar(Call& call);
int chart(Call& call);
int correct(Call& call);
int strike(Call& call);
int dealt(Call& call);
int climate(Call& call);
int species(Call& call);
int finishes(Call& call);
int glues(Call& call);
int others(Call& call);
int allergens(Call& call);
int schedules(Call& call);
int rules(Call& call);
int rule(Call& call);
int verify(Call& call);
int backup(Call& call);
int export_book(Call& call);
int import_book(Call& call);
int rescue(Call& call);

}  // namespace trencher::commands
