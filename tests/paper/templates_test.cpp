// The wording of cards, records, letters, notices and dates in four languages: nothing missing,
// nothing left over. tests/claims_test.py looks for what is never said.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <map>
#include <regex>
#include <set>

#include "engine/evidence.h"
#include "paper/language.h"
#include "paper/notice.h"
#include "paper/phrases.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;

namespace {

const std::vector<std::string> papers{"care-card", "language", "letter",     "notice",
                                      "record",    "offer",    "stall-sheet"};

std::map<std::string, std::string> parts_of(const std::string& paper, const std::string& language) {
  std::map<std::string, std::string> out;
  for (const Phrase& phrase : phrases(template_text(paper, language))) {
    INFO(paper << " " << language << " " << phrase.part);
    CHECK(out.emplace(phrase.part, phrase.text).second);
  }
  return out;
}

// {{x}}, {{#x}} and {{^x}}, but not which of them: a language may need a word more or less.
std::set<std::string> values_in(const std::string& text) {
  static const std::regex tag(R"(\{\{[#^/]?([a-z_]+)\}\})");
  std::set<std::string> out;
  for (std::sregex_iterator at(text.begin(), text.end(), tag), end; at != end; ++at)
    out.insert((*at)[1]);
  return out;
}

std::string sources() {
  std::string out;
  for (const char* folder : {"src/paper", "src/commands"})
    for (const auto& file :
         std::filesystem::directory_iterator(std::filesystem::path(TRENCHER_SOURCE_DIR) / folder))
      if (file.path().extension() == ".cpp") out += read_file(file.path());
  return out;
}

}  // namespace

TEST_CASE("every language has the same parts with the same values") {
  for (const std::string& paper : papers) {
    const auto english = parts_of(paper, "en");
    CHECK(english.size() > 10);
    for (const std::string& language : languages()) {
      const auto other = parts_of(paper, language);
      for (const auto& [part, text] : english) {
        INFO(paper << " " << language << " " << part);
        REQUIRE(other.contains(part));
        CHECK(values_in(other.at(part)) == values_in(text));
      }
      CHECK(other.size() == english.size());
    }
  }
}

TEST_CASE("every section of a template is closed and every brace is a tag's") {
  static const std::regex tag(R"(\{\{[#^/]?[a-z_]+\}\})");
  for (const std::string& paper : papers)
    for (const std::string& language : languages())
      for (const auto& [part, text] : parts_of(paper, language)) {
        INFO(paper << " " << language << " " << part);
        CHECK(std::regex_replace(text, tag, "").find_first_of("{}") == std::string::npos);
        CHECK_NOTHROW(fill_in(text, kainjow::mustache::data()));
      }
}

TEST_CASE("no part of a template is unused") {
  const std::string code = sources();
  const auto keys = engine::sentence_keys();
  // These are put together: "result-" + result, "month-{}", "paper-of-" + about, part + "-lines",
  // "state-" + state, "kind-" + kind, "check-" + check and "date-" + name of a record.
  static const std::regex built("(result|month|paper-of|state|kind|check|date)-.*|.*-lines");
  for (const std::string& paper : papers)
    for (const auto& [part, text] : parts_of(paper, "en")) {
      const bool said =
          code.find("\"" + part + "\"") != std::string::npos ||
          (paper == "letter" && std::find(keys.begin(), keys.end(), part) != keys.end());
      INFO(paper << " " << part);
      CHECK((said || std::regex_match(part, built)));
    }
}

TEST_CASE("every sentence of an answer has its part in every language") {
  for (const std::string& language : languages()) {
    const auto parts = parts_of("letter", language);
    for (const std::string_view key : engine::sentence_keys()) {
      INFO(language << " " << key);
      CHECK(parts.contains(std::string(key)));
    }
  }
}

TEST_CASE("every check that suitability.h lists has its words in the record") {
  const std::string header =
      read_file(std::filesystem::path(TRENCHER_SOURCE_DIR) / "src/engine/suitability.h");
  const std::size_t begin = header.find("Checks by name, on"), end = header.find("// A limit");
  REQUIRE(begin < end);
  const std::string list = header.substr(begin, end - begin);
  static const std::regex line(R"(//  ? ? ([a-z]*) +([a-z, -]+))"), name("[a-z]+(-[a-z]+)*");
  std::set<std::string> checks{"claim-in-text"};
  for (std::sregex_iterator at(list.begin(), list.end(), line), last; at != last; ++at) {
    const std::string names = (*at)[2];
    for (std::sregex_iterator of(names.begin(), names.end(), name); of != last; ++of)
      checks.insert(of->str());
  }
  CHECK(checks.size() > 50);
  const auto parts = parts_of("record", "en");
  for (const std::string& check : checks) {
    INFO(check);
    CHECK(parts.contains("check-" + check));
  }
}

TEST_CASE("no part lowers a risk") {
  for (const std::string& paper : papers)
    for (const std::string& language : languages())
      for (const auto& [part, text] : parts_of(paper, language)) {
        INFO(paper << " " << language << " " << part);
        CHECK(softening_words(text).empty());
      }
}

TEST_CASE("French marks that stand apart are held by a no-break space") {
  static const std::regex loose("( [:;!?])|( »)|(« )");
  for (const char* paper : {"care-card", "letter", "notice", "offer", "record", "stall-sheet"})
    for (const auto& [part, text] : parts_of(paper, "fr")) {
      INFO(paper << " " << part);
      CHECK(!std::regex_search(text, loose));
    }
}
