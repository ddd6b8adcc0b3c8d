// What the shipped tables say of a kind of glue or finish, in the form that a tin or product takes.
#pragma once

#include <string>
#include <vector>

#include "commands/cautions.h"
#include "domain/label.h"

namespace trencher::commands {

struct TinKind {
  std::string name;
  Label label;  // the usual figures
  std::vector<std::string> contains;
  std::string animal_origin;
  std::vector<Caution> cautions;
};

// `stock` is glue, finish or other. Error::request with near matches for an unknown kind.
TinKind need_tin_kind(const std::string& stock, const std::string& kind);

}  // namespace trencher::commands
