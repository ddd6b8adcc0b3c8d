// What a tin's label (or, where it is silent, the usual range of its kind) says about waits and
// limits.
#pragma once

#include <optional>
#include <string>

#include "domain/json.h"
#include "domain/kinds.h"

namespace trencher {

// A figure and where it comes from. The usual range is never certain: a date from it is a guess.
struct Figure {
  std::int64_t value = 0;
  bool usual = false;  // false: the label says so; true: the usual range, since the label is silent
  bool operator==(const Figure&) const = default;
};

struct Label {
  Mechanism mechanism = Mechanism::none;
  bool water_borne = false;
  // Seconds, at the reference temperature and humidity.
  std::optional<Figure> recoat_min, recoat_max, handle, pack, food_contact;  // finish
  std::optional<Figure> clamp, full_cure, open;                              // glue
  std::optional<Figure> coats;
  std::optional<Figure> coverage;                     // cm2 per litre and coat
  std::optional<Figure> reference_temp, lowest_temp;  // thousandths of a degree Celsius
  std::optional<Figure> reference_rh, highest_rh;     // tenths of a per cent
  std::optional<Figure> opened_life;                  // seconds that it keeps once opened
  std::optional<Figure> pot_life;                     // seconds that it can be used once mixed
  std::string basis;                                  // where the usual figures come from

  Json json() const;
  static Label read(const Json& json);
  bool operator==(const Label&) const = default;
};

// A usual longest wait says nothing beside a longer shortest wait that the label states: it goes.
void drop_senseless_window(Label& label);

// `own` laid over `base`: what `own` says for certain counts, and its usual figures where `base`
// has none.
Label overlay(const Label& own, Label base);

Label usual_label(const FinishKind& kind);
Label usual_label(const GlueKind& kind);
Label usual_label(const OtherKind& kind);

}  // namespace trencher
