// The shipped ways of finishing: in order, sourced, and with a product for every slot.
#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "reference/reference.h"

namespace {

using namespace trencher;

// "sand 100-150-220 | raise-grain x2 | coat 1 | inspect"
std::string shown(const Schedule& way) {
  std::string line;
  for (const ScheduleStep& step : way.steps) {
    line += (line.empty() ? "" : " | ") + step.step;
    for (std::size_t i = 0; i < step.grits.size(); ++i)
      line += (i ? "-" : " ") + std::to_string(step.grits[i]);
    if (step.slot) line += " of " + std::to_string(step.slot);
    if (step.count) line += " x" + std::to_string(*step.count);
  }
  return line;
}

std::string shown(const std::string& id) {
  const Schedule* way = reference::find_schedule(id);
  REQUIRE(way);
  return shown(*way);
}

}  // namespace

TEST_CASE("schedules: each way of finishing has its steps in order") {
  const std::string prepare = "sand 100-150-220 | raise-grain x2 | ";
  CHECK(shown("oil") == prepare + "coat of 1 | inspect");
  CHECK(shown("oil-then-wax") == prepare + "coat of 1 | coat of 2 | inspect");
  CHECK(shown("hardening-oil") == prepare + "coat of 1 | scuff 320 of 1 | inspect");
  CHECK(shown("wax") == prepare + "coat of 1 | inspect");
  CHECK(shown("film") ==
        "sand 100-150-220 | raise-grain x1 | coat of 1 | scuff 320 of 1 | inspect");
  CHECK(shown("sealer-then-film") ==
        "sand 100-150-220 | raise-grain x1 | coat of 1 x1 | scuff 320 | coat of 2 | "
        "scuff 320 of 2 | inspect");
  CHECK(shown("soap") ==
        "sand 100-150-220 | raise-grain x3 | coat of 1 | scuff 320 of 1 | inspect");
}

TEST_CASE("schedules: every slot is coated and some shipped finish fits it") {
  for (const Schedule& way : reference::schedules()) {
    INFO(way.id);
    for (std::size_t slot = 1; slot <= way.slots.size(); ++slot) {
      const auto coats = std::ranges::count_if(way.steps, [&](const ScheduleStep& step) {
        return step.step == "coat" && step.slot == static_cast<int>(slot);
      });
      CHECK(coats == 1);
      const auto& fits = way.slots[slot - 1];
      CHECK(std::ranges::any_of(reference::finishes(), [&](const FinishKind& kind) {
        return std::ranges::find(fits, kind.mechanism) != fits.end();
      }));
    }
  }
}

TEST_CASE("schedules: every shipped finish fits the first slot of some schedule") {
  for (const FinishKind& kind : reference::finishes()) {
    INFO(kind.id);
    CHECK(std::ranges::any_of(reference::schedules(), [&](const Schedule& way) {
      return std::ranges::find(way.slots[0], kind.mechanism) != way.slots[0].end();
    }));
  }
}

TEST_CASE("schedules: every step says what its figures rest on and how long it takes") {
  for (const Schedule& way : reference::schedules())
    for (const ScheduleStep& step : way.steps) {
      INFO(way.id << " " << step.step);
      CHECK(step.source == "common practice, no source");
      CHECK(step.standing == "common practice");
      CHECK(step.minutes);
      CHECK(!step.note.empty());
      CHECK(std::ranges::is_sorted(step.grits));
    }
}
