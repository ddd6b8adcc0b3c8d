// What of a rescued book is lost, for what is told of the book as a whole.
#pragma once

#include "commands/call.h"
#include "engine/losses.h"

namespace trencher::commands {

engine::Losses all_losses(Call& call);
// How many entries the book holds: those that are lost are not among them.
std::int64_t entries_held(const book::Book& book);
// Whether the person, who is not in the vault, was lost and not forgotten.
bool is_lost_person(const book::Book& book, const std::string& id);
// Says so, where something is.
void say_losses(Call& call);

}  // namespace trencher::commands
