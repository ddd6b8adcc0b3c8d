// An import on its way into the book.
#include "book/staged_readings.h"

#include <fmt/format.h>

#include "shop.h"

using namespace shop;
using book::StagedReadings;

namespace {

const Instant day = time("2026-02-10T00:00:00Z");

Reading sample(int minute, std::int64_t milli, std::optional<std::int64_t> permille = {}) {
  Reading out{0, day + Seconds(60 * minute), {milli}, {}};
  if (permille) out.rh = Percent{*permille};
  return out;
}

// Minutes and values of what is fresh, in order.
std::vector<std::string> fresh(const StagedReadings& staged) {
  std::vector<std::string> out;
  staged.each_fresh([&](const Reading& reading) {
    CHECK(reading.entry == 0);
    out.push_back(fmt::format("{} {}", (reading.at - day).count() / 60, reading.temp.milli) +
                  (reading.rh ? fmt::format(" {}", reading.rh->permille) : ""));
  });
  return out;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("staged readings: they come out by time whatever the order they came in") {
  Stocked shop;
  StagedReadings staged(shop.book());
  CHECK_FALSE(staged.span());
  std::int64_t line = 2;
  for (const int minute : {5, 3, 9, -4, 7, 3, 8})
    CHECK_FALSE(staged.add(sample(minute, 20), line++));
  REQUIRE(staged.span());
  CHECK(staged.span()->first == sample(-4, 0).at);
  CHECK(staged.span()->last == sample(9, 0).at);
  const auto compared = staged.compare("garage");
  CHECK(compared.fresh == 6);
  CHECK(compared.known == 0);
  CHECK(compared.replaced == 0);
  CHECK(fresh(staged) == Lines{"-4 20", "3 20", "5 20", "7 20", "8 20", "9 20"});
}

TEST_CASE("staged readings: two values for one moment are noticed with the line of the first") {
  Stocked shop;
  StagedReadings staged(shop.book());
  CHECK_FALSE(staged.add(sample(1, 20, 500), 7));
  CHECK_FALSE(staged.add(sample(2, 20), 8));
  CHECK_FALSE(staged.add(sample(1, 20, 500), 9));
  CHECK_FALSE(staged.add(sample(2, 20), 10));
  CHECK(staged.add(sample(1, 21, 500), 11) == 7);
  CHECK(staged.add(sample(1, 20, 501), 12) == 7);
  CHECK(staged.add(sample(1, 20), 13) == 7);
  CHECK(staged.add(sample(2, 20, 0), 14) == 8);
  staged.compare("garage");
  CHECK(fresh(staged) == Lines{"1 20 500", "2 20"});
}

TEST_CASE("staged readings: what the book holds is known or replaced by the latest entry") {
  Stocked shop;
  const auto hold = [&](std::vector<Reading> samples, std::string place = "garage") {
    return shop.write("readings", readings(std::move(place), std::move(samples)).body());
  };
  hold({sample(1, 10), sample(2, 10), sample(3, 10, 400), sample(4, 10), sample(5, 10)});
  hold({sample(2, 11), sample(4, 12)});
  hold({sample(6, 10)}, "house");
  const auto struck = hold({sample(5, 13)});
  shop.strike(struck);
  const auto corrected = hold({sample(7, 10)});
  shop.correct(corrected, readings("garage", {sample(7, 14)}).body());
  StagedReadings staged(shop.book());
  std::int64_t line = 2;
  for (const Reading& one : {sample(1, 10), sample(2, 10), sample(3, 10), sample(4, 12),
                             sample(5, 10), sample(6, 10), sample(7, 14), sample(8, 10)})
    staged.add(one, line++);
  Writing writing(shop.book());
  std::uint64_t told = 0;
  const auto compared = staged.compare("garage", [&](std::uint64_t done, std::uint64_t of) {
    CHECK(done == ++told);
    CHECK(done <= of);
  });
  CHECK(told > 0);
  CHECK(fresh(staged) == Lines{"2 10", "3 10", "6 10", "8 10"});
  CHECK(compared.fresh == 4);
  CHECK(compared.known == 4);
  CHECK(compared.replaced == 2);
  REQUIRE(compared.fresh_span);
  CHECK(compared.fresh_span->first == sample(2, 0).at);
  CHECK(compared.fresh_span->last == sample(8, 0).at);
}

TEST_CASE("staged readings: all known leaves none fresh") {
  Stocked shop;
  shop.write("readings", readings("garage", {sample(1, 10), sample(2, 10, 400)}).body());
  StagedReadings staged(shop.book());
  staged.add(sample(2, 10, 400), 2);
  staged.add(sample(1, 10), 3);
  const auto compared = staged.compare("garage");
  CHECK(compared.known == 2);
  CHECK(compared.fresh == 0);
  CHECK_FALSE(compared.fresh_span);
  CHECK(fresh(staged).empty());
}

TEST_CASE("staged readings: a step with a temperature is a reading of its place") {
  Stocked shop;
  Step made = coat("26-001", "F1");
  made.place = "garage";
  made.temp = Celsius{19'000};
  made.rh = Percent{500};
  shop.write(made.kind, made.body(), sample(30, 0).at);
  const auto compared = [&](const Reading& one) {
    StagedReadings staged(shop.book());
    staged.add(sample(0, 1), 2);
    staged.add(one, 3);
    const auto out = staged.compare("garage");
    return std::pair(out.known, out.replaced);
  };
  CHECK(compared(sample(30, 19'000, 500)) == std::pair<std::int64_t, std::int64_t>(1, 0));
  CHECK(compared(sample(30, 19'000)) == std::pair<std::int64_t, std::int64_t>(0, 1));
  CHECK(compared(sample(31, 19'000, 500)) == std::pair<std::int64_t, std::int64_t>(0, 0));
}

TEST_CASE("staged readings: more than memory is given leave no file behind") {
  Stocked shop;
  StagedReadings staged(shop.book());
  const int many = 900'000;
  for (int i = 0; i < many; ++i)  // back and forth
    staged.add(sample(i % 2 ? i : -i, i, i % 1000), i + 2);
  CHECK(staged.compare("garage").fresh == many);
  Instant before = Instant::min();
  std::int64_t sum = 0, count = 0;
  staged.each_fresh([&](const Reading& reading) {
    if (reading.at <= before) FAIL("not in order");
    before = reading.at;
    sum += reading.temp.milli;
    ++count;
  });
  CHECK(count == many);
  CHECK(sum == std::int64_t{many} * (many - 1) / 2);
  CHECK(shop.folder().names() == Lines{"book.db"});
}

TEST_CASE("staged readings: no room for them is told and the book is as it was") {
  Stocked shop;
  const std::string before = exported(shop.book());
  CHECK(refusal_without_room(1'000'000,
                             [&] {
                               StagedReadings staged(shop.book());
                               for (int i = 0; i < 2'000'000; ++i) staged.add(sample(i, i), i + 2);
                             }) ==
        "book: The temporary file that the readings wait in failed: disk I/O error. "
        "Nothing was written to the book " +
            shop.file().string() + ". The variable TMPDIR names another folder for it.");
  CHECK(exported(shop.book()) == before);
}
