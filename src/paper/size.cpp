#include "paper/size.h"

#include <string>

#include "domain/error.h"

namespace trencher::paper {

Size sheet_size(std::string_view name) {
  if (name == "a4") return a4;
  if (name == "letter") return letter;
  throw Error::request("There is no paper \"" + std::string(name) + "\": it is a4 or letter.");
}

Size card_size(std::string_view name) {
  if (name == "a6") return a6;
  if (name == "a5") return a5;
  if (name == "quarter-letter") return quarter_letter;
  throw Error::request("There is no card size \"" + std::string(name) +
                       "\": it is a6, a5 or quarter-letter.");
}

}  // namespace trencher::paper
