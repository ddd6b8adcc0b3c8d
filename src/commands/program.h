// The whole program behind main(): finds the command that the first word names, runs it, and turns
// an Error into its sentence and status.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

// Status: 0 done; 1 done, but a finding is stop or the verification failed; 2 the request is wrong;
// 3 the book or the disk failed.
int run_program(int argc, char** argv);

// The same for words given, with nothing taken from the process's own surroundings.
int run_words(std::vector<std::string> words, const Surroundings& surroundings);

}  // namespace trencher::commands
