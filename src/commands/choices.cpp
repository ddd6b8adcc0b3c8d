#include "commands/choices.h"

#include <fmt/format.h>

#include <algorithm>

#include "commands/call.h"
#include "domain/country.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {

const std::vector<std::string>& markets() {
  static const std::vector<std::string> all{"us", "us-ca", "eu", "uk", "de", "ca", "anz"};
  return all;
}

const std::vector<std::string>& ways_of_leaving() {
  static const std::vector<std::string> all{"gift", "sale", "private-gift"};
  return all;
}

const std::vector<std::string>& unit_systems() {
  static const std::vector<std::string> all{"metric", "us"};
  return all;
}

const std::vector<std::string>& severities() {
  static const std::vector<std::string> all{"flaw", "could-hurt", "hurt-somebody"};
  return all;
}

const std::vector<std::string>& ispm_marks() {
  static const std::vector<std::string> all{"HT", "MB", "DH", "SF", "none"};
  return all;
}

const std::vector<std::string>& paper_topics() {
  static const std::vector<std::string> all{"ingredients", "allergens", "food-contact", "safety",
                                            "origin"};
  return all;
}

std::string country_code(const std::string& typed, const std::string& name) {
  std::string out = checked_text(typed, name);
  for (char& c : out)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  if (!is_country(out))
    throw Error::request(fmt::format(
        "{} '{}' is no country code of ISO 3166-1; write two letters, as US, DE or GB.{}", name,
        typed, out == "UK" ? " The United Kingdom is GB." : ""));
  return out;
}

std::string severity_words(const std::string& severity) {
  return severity == "flaw"         ? "a flaw"
         : severity == "could-hurt" ? "could hurt somebody"
                                    : "somebody was hurt";
}

std::string id_prefix(const std::string& stock) {
  return stock == "glue" ? "G" : stock == "finish" ? "F" : "X";
}

std::vector<std::string> known_values(const std::vector<std::string>& values,
                                      const std::string& what,
                                      const std::vector<std::string>& known, const Whence& whence) {
  std::vector<std::string> out;
  for (const std::string& value : values) {
    Call::check_known(value, what, known, whence);
    if (std::find(out.begin(), out.end(), value) == out.end()) out.push_back(value);
  }
  return out;
}

std::vector<std::string> known_allergens(const std::vector<std::string>& ids) {
  return known_values(ids, "Allergen or substance", ids_of(reference::allergens()),
                      {{}, "'trencher allergens' lists them"});
}

std::string slug(std::string_view name) {
  std::string out;
  for (const char c : lower_ascii(name)) {
    const bool kept = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
    if (kept)
      out += c;
    else if (!out.empty() && out.back() != '-')
      out += '-';
  }
  while (out.ends_with('-')) out.pop_back();
  return out;
}

}  // namespace trencher::commands
