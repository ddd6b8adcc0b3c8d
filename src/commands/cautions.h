// Cautions for whoever works on the boards. Short enough to be read; the label and the safety data
// sheet say the rest.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"
#include "domain/kinds.h"

namespace trencher::commands {

struct Caution {
  std::string text;
  std::string source;
  bool rags = false;  // of rags that heat by themselves
  bool operator==(const Caution&) const = default;
};

Caution rag_caution(const std::string& finish_name);
Caution dust_caution();
Caution label_first();
std::vector<Caution> finish_cautions(const FinishKind& kind);
std::vector<Caution> glue_cautions(const GlueKind& kind);
std::vector<Caution> other_cautions(const OtherKind& kind);

// Those of everything that a batch is made of and was done to it, each once.
std::vector<Caution> work_cautions(const BatchView& view);

}  // namespace trencher::commands
