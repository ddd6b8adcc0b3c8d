#include "paper/size.h"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string>
#include <vector>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::paper {
namespace {

constexpr std::array<CardSize, 6> sizes{{{"tag", tag},
                                         {"a7", a7},
                                         {"a6", a6},
                                         {"4x6in", postcard},
                                         {"quarter-letter", quarter_letter},
                                         {"a5", a5}}};

}  // namespace

Size sheet_size(std::string_view name) {
  if (name == "a4") return a4;
  if (name == "letter") return letter;
  throw Error::request("The paper '" + std::string(name) +
                       "' is not known. It is one of: a4, letter.");
}

std::span<const CardSize> card_sizes() { return sizes; }

Size card_size(std::string_view name) {
  std::vector<std::string> names;
  for (const CardSize& one : sizes) {
    if (one.name == name) return one.size;
    names.emplace_back(one.name);
  }
  throw Error::request("The card size '" + std::string(name) +
                       "' is not known. It is one of: " + join(names, ", ") + ".");
}

std::string_view card_size_name(Size size) {
  const auto at = std::find_if(sizes.begin(), sizes.end(),
                               [&](const CardSize& one) { return one.size == size; });
  if (at == sizes.end()) throw std::logic_error("No card has that size.");
  return at->name;
}

}  // namespace trencher::paper
