// The options by which a label's waits and limits are typed in; shared by product and receive.
#pragma once

#include <string>

#include "commands/call.h"
#include "domain/label.h"

namespace trencher::commands {

class LabelOptions {
 public:
  void declare_finish(Call& call);
  void declare_glue(Call& call);
  void declare_other(Call& call);
  void declare(Call& call, const std::string& stock);  // whichever of the three
  // Lays what was typed over `label`; waits longest before shortest are Error::request.
  void apply(Label& label) const;

 private:
  void declare_limits(Call& call);
  std::string coats_, recoat_after_, recoat_before_, handle_, pack_, food_contact_, coverage_;
  std::string clamp_, full_cure_, temp_, rh_, lowest_, highest_, opened_life_, pot_life_;
};

// "30d", "6mo" (months of 30 days), "1y".
Seconds parse_life(const std::string& typed, const std::string& what);

}  // namespace trencher::commands
