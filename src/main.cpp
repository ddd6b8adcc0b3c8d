#include <cstdio>
#include <exception>

#include "commands/program.h"

int main(int argc, char** argv) {
  try {
    return trencher::commands::run_program(argc, argv);
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "trencher: %s\n", failure.what());
    return 3;
  }
}
