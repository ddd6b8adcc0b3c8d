// Citations and figures of the shipped rules, against the texts that they were read in; what is
// from memory says so. Read on 26 November 2026 besides shared notes of the day before: Food Code
// 4-101.17 at app.leg.wa.gov (WAC 246-215-04130), revisor.mn.gov (4626.0490) and
// california.public.law (HSC 114132); CCPSA s. 13 at canada.ca; GPSR art 19 in three digests
// (coslaw.eu, deckstein.de, news.ceway.eu); the French order at operceval.fr, thezanbois.com and
// contactalimentaire.com, which agree.
#include <algorithm>
#include <catch2/catch.hpp>
#include <optional>
#include <set>
#include <string>

#include "reference/reference.h"

namespace {

using namespace trencher;

const Rule& rule(const std::string& key) {
  const auto all = reference::rules();
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Rule& r) { return r.key == key; });
  INFO(key);
  REQUIRE(found != all.end());
  return *found;
}

struct Figure {
  const char* key;
  const char* cites;  // stands in the citation
  const char* asks;   // and this in what it asks
  const char* where;  // the text was read
};

const Figure figures[] = {
    {"us-food-code-wood", "4-101.17", "hard maple", "WAC 246-215-04130, Minn. R. 4626.0490, read"},
    {"us-ca-food-facility", "114132", "cedar", "california.public.law, read"},
    {"us-cpsa-report", "1115.14", "24 hours", "from memory"},
    {"us-ca-prop65", "25249", "ten", "trade notices that agree, read; the code from memory"},
    {"eu-gpsr-art9-code", "2023/988 art 9(5)", "batch", "hwk-omv.de, read"},
    {"eu-gpsr-art9", "2023/988 art 9(6)", "electronic address", "hwk-omv.de, read"},
    {"eu-gpsr-art19", "2023/988 art 19", "picture", "coslaw.eu, deckstein.de, read"},
    {"eu-gpsr-recall", "arts 35-37", "Product safety recall", "produktkanzlei.com, read"},
    {"eu-1935-art15-language", "1935/2004 art 15(4)", "easily", "gesetze.legal, read"},
    {"eu-1935-art17", "1935/2004 art 17", "suppl", "freirecht.de, read"},
    {"eu-reach-33", "1907/2006 art 33", "45 days", "from memory"},
    {"eu-reach-33", "1907/2006 art 33", "0.1", "from memory"},
    {"eu-eudr", "2023/1115", "30 June 2027", "ploum.nl, taxnews.ey.com, read"},
    {"eu-fr-1945", "15 November 1945", "oak, hornbeam", "thezanbois.com and two more, read"},
    {"de-lfgb-31", "31", "1935/2004", "buzer.de, read"},
    {"ca-ccpsa-13", "s. 13", "six years", "canada.ca guidance, read"},
    {"ca-ccpsa-14", "s. 14", "two days", "summary of the bill, read"},
    {"any-ispm-15", "ISPM 15", "MB", "heattreatinspectors.com, read"},
};

}  // namespace

TEST_CASE("published: citations and figures of rules") {
  for (const Figure& figure : figures) {
    INFO(figure.key << ": " << figure.where);
    const Rule& of = rule(figure.key);
    CHECK(of.cite.find(figure.cites) != std::string::npos);
    CHECK(of.asks.find(figure.asks) != std::string::npos);
    if (std::string(figure.where) == "from memory") CHECK(of.standing == "memory");
  }
}

// (EU) 2023/988 art 9(3) and 15(4): 10 years (memory; read in German). Art 15(3): 6 years (read in
// German). CCPSA s. 13(2): six years after the end of the year (read). SI 2013/233: 5 (memory).
TEST_CASE("published: how long records are kept") {
  CHECK(rule("eu-gpsr-art9-file-kept").keep_years == 10);
  CHECK(rule("eu-gpsr-art15-risks").keep_years == 10);
  CHECK(rule("eu-gpsr-art15").keep_years == 6);
  CHECK(rule("ca-ccpsa-13").keep_years == 6);
  CHECK(rule("uk-timber-kept").keep_years == 5);
}

// What each section lists, as rules.md names its source: 21 CFR 172.878 and 178.3620(a) mineral oil
// (read), 175.300(b)(3)(i) drying oils (read), 184.1973 beeswax (read).
TEST_CASE("published: sections of 21 CFR are looked for in papers on the finishes that they list") {
  const auto finishes = [](const char* key) {
    const Rule& of = rule(key);
    return std::set<std::string>(of.finish.begin(), of.finish.end());
  };
  CHECK(finishes("us-172-878").contains("mineral-oil"));
  CHECK_FALSE(finishes("us-172-878").contains("pure-tung-oil"));
  for (const char* oil : {"pure-tung-oil", "raw-linseed-oil", "walnut-oil", "hemp-oil"}) {
    INFO(oil);
    CHECK(finishes("us-175-300-oils").contains(oil));
    CHECK_FALSE(finishes("us-172-878").contains(oil));
  }
  CHECK(finishes("us-184-1973").contains("beeswax"));
  const std::vector<std::string>& named = rule("us-178-3620").names;
  CHECK(std::find(named.begin(), named.end(), "178.3620") == named.end());  // (b) is for machines
}

TEST_CASE("published: every rule says whom to ask, when it was looked at, and where it is from") {
  for (const Rule& of : reference::rules()) {
    INFO(of.key);
    CHECK_FALSE(of.ask.empty());
    CHECK_FALSE(of.source.empty());
    CHECK(of.reviewed ==
          Day{std::chrono::year{2026}, std::chrono::month{11}, std::chrono::day{25}});
    CHECK((of.source.find("memory") != std::string::npos || of.standing != "memory" ||
           of.source.find("not read") != std::string::npos));
  }
}
