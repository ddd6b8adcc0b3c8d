#include <cstdio>
#include <exception>

#include "commands/program.h"
#include "domain/text.h"

int main(int argc, char** argv) {
  try {
    return trencher::commands::run_program(argc, argv);
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "trencher: %s\n", trencher::shown_sentence(failure.what()).c_str());
    return 3;
  }
}
