#include "shop.h"

using namespace shop;

namespace {

const Instant day = time("2026-02-10T00:00:00Z");

Instant hour(int n) { return day + Seconds(3600 * n); }

// Temperatures, in order, of an entry whose samples stand an hour apart from `first` on.
std::int64_t log(Shop& shop, int first, std::vector<int> temps, std::string place = "garage") {
  std::vector<Reading> samples;
  for (const int temp : temps) samples.push_back({0, hour(first++), {temp}, {}});
  return shop.write("readings", readings(std::move(place), std::move(samples)).body());
}

std::vector<std::int64_t> temps_at(Shop& shop, int from, int to,
                                   std::string_view place = "garage") {
  std::vector<std::int64_t> out;
  Instant before = Instant::min();
  for (const Reading& reading : readings_at(shop.book(), place, hour(from), hour(to))) {
    CHECK(reading.at > before);
    before = reading.at;
    out.push_back(reading.temp.milli);
  }
  return out;
}

using Temps = std::vector<std::int64_t>;

}  // namespace

TEST_CASE("readings: a window takes in its own and one neighbour on either side") {
  Stocked shop;
  log(shop, 0, {100, 101, 102, 103, 104, 105});
  CHECK(temps_at(shop, 2, 3) == Temps{102, 103});  // those at its ends are neighbours enough
  const auto between =
      readings_at(shop.book(), "garage", hour(2) + Seconds(60), hour(2) + Seconds(120));
  REQUIRE(between.size() == 2);
  CHECK(between[0].temp.milli == 102);
  CHECK(between[1].temp.milli == 103);
  CHECK(temps_at(shop, -3, 20) == Temps{100, 101, 102, 103, 104, 105});
  CHECK(temps_at(shop, 9, 12) == Temps{105});
  CHECK(temps_at(shop, -9, -7) == Temps{100});
}

TEST_CASE("readings: neighbours come from whichever entry is nearest however far") {
  Stocked shop;
  log(shop, -2000, {1});
  log(shop, -900, {2, 3});
  log(shop, -1500, {4});
  log(shop, 900, {6, 7});
  log(shop, 2000, {8});
  log(shop, 1500, {9});
  CHECK(temps_at(shop, 0, 1) == Temps{3, 6});
  log(shop, 0, {5});
  CHECK(temps_at(shop, 0, 1) == Temps{5, 6});
  CHECK(temps_at(shop, -1, 1) == Temps{3, 5, 6});
}

TEST_CASE("readings: entries that overlap are read as one row of time") {
  Stocked shop;
  log(shop, 0, {100, 101, 102, 103});
  const auto entry = shop.write(
      "readings",
      readings("garage", {{0, hour(-50), {1}, Percent{400}}, {0, hour(50), {2}, {}}}).body());
  log(shop, 1, {201, 202});  // for two moments that have a reading already: the later entry counts
  // The neighbour before it has no humidity, so that the one before that is needed for its own.
  CHECK(temps_at(shop, 0, 3) == Temps{1, 100, 201, 202, 103});
  const auto wide = readings_at(shop.book(), "garage", hour(-10), hour(10));
  REQUIRE(wide.size() == 6);
  CHECK(wide.front().entry == entry);
  CHECK(wide.front().rh == Percent{400});
  CHECK_FALSE(wide.back().rh);
}

TEST_CASE("readings: a window reaches out on either side until a humidity is in") {
  Stocked shop;
  const auto sample = [](int at, int temp, std::optional<int> rh) {
    return Reading{0, hour(at), {temp}, rh ? std::optional(Percent{*rh}) : std::nullopt};
  };
  // In one entry, in entries of their own, and further out still.
  shop.write(
      "readings",
      readings("garage", {sample(-9, 1, 500), sample(-8, 2, 510), sample(-2, 3, {})}).body());
  shop.write("readings", readings("garage", {sample(4, 4, {})}).body());
  shop.write("readings", readings("garage", {sample(9, 5, 520)}).body());
  shop.write("readings", readings("garage", {sample(12, 6, 530)}).body());
  CHECK(temps_at(shop, 0, 3) == Temps{2, 3, 4, 5});
  // A step's own reading without humidity hides none either.
  Step warm = coat("26-001", "F1");
  warm.place = "garage";
  warm.temp = Celsius{777};
  shop.write("coat", warm.body(), hour(0));
  CHECK(temps_at(shop, 0, 3) == Temps{2, 3, 777, 4, 5});
  CHECK(temps_at(shop, -8, 9) == Temps{2, 3, 777, 4, 5});
}

TEST_CASE("readings: a humidity that a later entry takes away is looked for further out") {
  const auto sample = [](int at, int temp, std::optional<int> rh) {
    return Reading{0, hour(at), {temp}, rh ? std::optional(Percent{*rh}) : std::nullopt};
  };
  const auto noted = [](Shop& shop, int at, int temp, std::optional<int> rh) {
    Step step = coat("26-001", "F1");
    step.place = "garage";
    step.temp = Celsius{temp};
    if (rh) step.rh = Percent{*rh};
    shop.write("coat", step.body(), hour(at));
  };
  // On both sides of the window alike: hour -h and 1 + h.
  const int side = GENERATE(-1, 1);
  const auto out = [&](int h) { return side < 0 ? -h : 1 + h; };
  const auto expected = [&](Temps nearest_first) {
    if (side < 0) std::reverse(nearest_first.begin(), nearest_first.end());
    return nearest_first;
  };
  Stocked shop;
  SECTION("noted with a step, taken away by a logger without one") {
    noted(shop, out(8), 8, 500);
    noted(shop, out(4), 4, 510);
    shop.write("readings", readings("garage", {sample(out(4), 3, {})}).body());
    CHECK(temps_at(shop, 0, 1) == expected({3, 8}));
  }
  SECTION("of a logger, taken away by a step that notes none") {
    shop.write("readings", readings("garage", {sample(out(8), 8, 500)}).body());
    shop.write("readings", readings("garage", {sample(out(4), 4, 510)}).body());
    noted(shop, out(2), 2, {});
    noted(shop, out(4), 3, {});
    CHECK(temps_at(shop, 0, 1) == expected({2, 3, 8}));
  }
  SECTION("of a logger, taken away by another") {
    shop.write("readings", readings("garage", {sample(out(8), 8, 500)}).body());
    shop.write("readings",
               readings("garage", {sample(out(4), 4, 510), sample(out(3), 5, {})}).body());
    shop.write("readings", readings("garage", {sample(out(4), 3, {})}).body());
    CHECK(temps_at(shop, 0, 1) == expected({5, 3, 8}));
  }
  SECTION("what was entered before it takes nothing away") {
    shop.write("readings", readings("garage", {sample(out(4), 3, {})}).body());
    noted(shop, out(8), 8, 500);
    noted(shop, out(4), 4, 510);
    CHECK(temps_at(shop, 0, 1) == expected({4}));
  }
}

TEST_CASE("readings: of two samples for one moment in one entry the last counts") {
  Stocked shop;
  shop.write(
      "readings",
      readings("garage", {{0, hour(1), {1}, {}}, {0, hour(0), {0}, {}}, {0, hour(1), {2}, {}}})
          .body());
  CHECK(temps_at(shop, 0, 1) == Temps{0, 2});
}

TEST_CASE("readings: another place and struck or corrected entries do not count") {
  Stocked shop;
  shop.write("place", Place{"house", "House", {}, {}}.body());
  log(shop, 0, {1, 2}, "house");
  const auto struck = log(shop, 0, {3, 4});
  const auto corrected = log(shop, 0, {5, 6});
  CHECK(temps_at(shop, 0, 1) == Temps{5, 6});
  shop.strike(corrected);
  CHECK(temps_at(shop, 0, 1) == Temps{3, 4});
  shop.correct(struck, readings("house", {{0, hour(1), {7}, {}}}).body());
  CHECK(temps_at(shop, 0, 1) == Temps{});
  CHECK(temps_at(shop, 0, 1, "house") == Temps{1, 7});  // the entry keeps its place in the order
  CHECK(temps_at(shop, 0, 1, "attic").empty());
}

TEST_CASE("readings: a step logged with a temperature is a reading of its place") {
  Stocked shop;
  Step warm = coat("26-001", "F1");
  warm.place = "garage";
  warm.temp = Celsius{777};
  warm.rh = Percent{610};
  const auto entry = shop.write("coat", warm.body(), hour(2));
  Step nowhere = warm;
  nowhere.place.clear();
  shop.write("coat", nowhere.body(), hour(3));
  log(shop, 0, {1, 2, 3, 4});
  CHECK(temps_at(shop, 0, 3) == Temps{1, 2, 3, 4});  // the entry of readings came later
  shop.strike(shop.book().entry_count());
  REQUIRE(temps_at(shop, 0, 3) == Temps{777});
  CHECK(readings_at(shop.book(), "garage", hour(0), hour(3))[0].entry == entry);
  CHECK(readings_at(shop.book(), "garage", hour(0), hour(3))[0].rh == Percent{610});
}
