// The codes of countries against the list that tzdata brings, which follows ISO 3166-1.
#include "domain/country.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <string>
#include <vector>

using namespace trencher;

TEST_CASE("country: the codes are those of iso3166.tab of tzdata") {
  std::ifstream in("/usr/share/zoneinfo/iso3166.tab");
  REQUIRE(in);
  std::vector<std::string> codes;
  for (std::string line; std::getline(in, line);)
    if (!line.empty() && line[0] != '#') codes.push_back(line.substr(0, line.find('\t')));
  std::sort(codes.begin(), codes.end());
  CHECK(std::vector<std::string>(country_codes.begin(), country_codes.end()) == codes);
}

TEST_CASE("country: no code is what the standard only reserves or leaves free") {
  CHECK(is_country("GB"));
  for (const char* code : {"UK", "EU", "ZZ", "gb", "", "G", "GBR", "XK"}) {
    INFO(code);
    CHECK_FALSE(is_country(code));
  }
}
