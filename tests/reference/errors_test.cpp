// A fault in a table is named with file, line and cell.
#include <catch2/catch.hpp>
#include <string>

#include "domain/embedded.h"
#include "domain/error.h"
#include "reference/reference.h"
#include "reference/tables.h"

namespace {

using namespace trencher;

std::string shipped(const std::string& path) {
  return std::string(embedded_text(embedded_reference(), "schema/" + path));
}

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

template <typename Read>
void fails(Read read, const std::string& text, const std::string& sentence) {
  CHECK_THROWS_MATCHES(read(text, "t"), Error, Catch::Message(sentence));
}

}  // namespace

TEST_CASE("reference: a cell that is not what its column holds is named") {
  const std::string species = shipped("reference/species.csv");
  const auto read = reference::read_species;
  REQUIRE_NOTHROW(read(species, "t"));
  fails(read, with(species, ",6400,", ",64oo,"),
        "t, line 2, side_hardness_N: '64oo' is not a number from 100 to 40000.");
  fails(read, with(species, ",6400,", ",6400.5,"),
        "t, line 2, side_hardness_N: '6400.5' is not a whole number.");
  fails(read, with(species, ",4.8,9.9,", ",48,9.9,"),
        "t, line 2, radial_shrink_pct: '48' is not a number from 0.5 to 20.");
  fails(read, with(species, ",4.8,9.9,", ",nan,9.9,"),
        "t, line 2, radial_shrink_pct: 'nan' is not a number from 0.5 to 20.");
  fails(read, with(species, "hardwood,diffuse", "hardwood,closed"),
        "t, line 2, pore: 'closed' is not diffuse, semi-ring, ring, nonporous or empty.");
  fails(read, with(species, "soft-maple,", "hard-maple,"),
        "t, line 3, id: 'hard-maple' is not new: an earlier row has it.");
  fails(read, with(species, "wh-5-3a;mfma,read", "wh-5-3a;nobody,read"),
        "t, line 2, hardness_source: 'wh-5-3a;nobody' is not a list of keys of sources.csv.");
  fails(read, with(species, "wh-5-3a;mfma,read", "wh-5-3a;mfma,"),
        "t, line 2, hardness_standing: '' is not read or memory.");
}

TEST_CASE("reference: other tables name their faults too") {
  fails(reference::read_finishes, with(shipped("reference/finishes.csv"), "non-drying", "drying"),
        "t, line 2, mechanism: 'drying' is not a mechanism.");
  fails(reference::read_glues, with(shipped("reference/glues.csv"), ",D2,", ",D5,"),
        "t, line 2, en204_class: 'D5' is not empty, D1, D2, D3 or D4.");
  fails(reference::read_glues, with(shipped("reference/glues.csv"), "mechanism,", "way,"),
        "t: there is no column 'mechanism' among: id, name, en204_class, hp1_type, way, "
        "min_apply_c, open_min, clamp_h, full_cure_h, reference_temp_c, reference_rh_pct, wet_use, "
        "contains, animal_origin, notes, basis, source, standing.");
  fails(reference::read_allergens,
        with(shipped("reference/allergens.csv"), "listed,listed", "yes,listed"),
        "t, line 2, us: 'yes' is not listed or empty.");
}

TEST_CASE("reference: a schedule names its faults") {
  const std::string film = shipped("schedules/film.toml");
  const auto read = reference::read_schedule;
  REQUIRE_NOTHROW(read(film, "t"));
  // The parser's own words follow.
  CHECK_THROWS_WITH(read(with(film, "\"film\"", "\"film"), "t"),
                    Catch::StartsWith("t, line 2: Error while parsing string"));
  fails(read, with(film, "minutes = 20", "minute = 20"),
        "t, line 12: 'minute' is not a key of a schedule.");
  fails(read, with(film, "minutes = 20", "minutes = 0"),
        "t, line 12: 'minutes' must be a whole number from 1 to 240.");
  fails(read, with(film, "\"two-part\"", "\"three-part\""),
        "t, line 7: 'mechanisms' holds 'three-part', which is no mechanism.");
  fails(read, with(film, "slot = 1", "slot = 2"),
        "t, line 27: 'slot' must be a whole number from 1 to 1.");
  fails(read, with(film, "step = \"coat\"\nslot = 1", "step = \"coat\""),
        "t, line 26: 'slot' must say which finish a coat is of.");
  fails(read, with(film, "\"sand\"", "\"grind\""),
        "t, line 10: 'step' must be sand, raise-grain, coat, scuff or inspect.");
}

TEST_CASE("reference: a mechanism is read by the name it is written with") {
  for (const auto& [mechanism, name] : detail::mechanism_names) {
    CHECK(to_string(mechanism) == name);
    CHECK(parse_mechanism(name) == mechanism);
  }
  CHECK_THROWS_MATCHES(
      parse_mechanism("magic"), Error,
      Catch::Message(
          "The mechanism 'magic' is not one of: non-drying, wax-set, oxidative, "
          "solvent-evaporation, coalescing, two-part, water-glue, moisture-glue, none."));
}
