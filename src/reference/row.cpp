#include "reference/row.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::reference {
namespace {

std::string plain(double value) {
  std::string text = std::to_string(value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace

void Row::refuse(std::string_view column, std::string_view belongs) const {
  throw Error::request(table_.file() + ", line " + std::to_string(table_.line(index_)) + ", " +
                       std::string(column) + ": '" + text(column) + "' is not " +
                       std::string(belongs) + ".");
}

const std::string& Row::text(std::string_view column) const {
  return table_.row(index_)[table_.column(column)];
}

const std::string& Row::required_text(std::string_view column) const {
  const std::string& cell = text(column);
  if (cell.empty()) refuse(column, "text, and this cell may not be empty");
  return cell;
}

const std::string& Row::choice(std::string_view column,
                               std::initializer_list<std::string_view> allowed) const {
  const std::string& cell = text(column);
  if (std::find(allowed.begin(), allowed.end(), cell) != allowed.end()) return cell;
  std::vector<std::string> names;
  for (const std::string_view name : allowed)
    names.emplace_back(name.empty() ? std::string_view("empty") : name);
  refuse(column, join_words(names, "or"));
}

bool Row::flag(std::string_view column, std::string_view yes, std::string_view no) const {
  return choice(column, {yes, no}) == yes;
}

std::vector<std::string> Row::list(std::string_view column) const {
  const std::string& cell = text(column);
  if (cell.empty()) return {};
  std::vector<std::string> parts = split(cell, ';');
  if (std::find(parts.begin(), parts.end(), "") != parts.end())
    refuse(column, "a list with semicolons between its parts");
  return parts;
}

Mechanism Row::mechanism(std::string_view column) const {
  const std::string& cell = text(column);
  try {
    return parse_mechanism(cell);
  } catch (const Error&) {
    refuse(column, "a mechanism");
  }
}

std::string Row::sources(std::string_view column) const {
  // Whole tables name the same few again and again.
  thread_local std::map<std::string, std::string> known;
  const auto [place, fresh] = known.try_emplace(text(column));
  if (!fresh) return place->second;
  std::vector<std::string> titles;
  for (const std::string& key : list(column)) {
    const Source* source = find_source(key);
    if (!source) {
      known.erase(place);
      refuse(column, "a list of keys of sources.csv");
    }
    titles.push_back(source->what);
  }
  return place->second = join(titles, "; ");
}

std::optional<double> Row::number(std::string_view column, double least, double most) const {
  const std::string& cell = text(column);
  if (cell.empty()) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  const bool whole_cell = error == std::errc{} && end == cell.data() + cell.size();
  if (!whole_cell || !(value >= least && value <= most))
    refuse(column, "a number from " + plain(least) + " to " + plain(most));
  return value;
}

std::optional<int> Row::whole(std::string_view column, int least, int most) const {
  const auto value = number(column, least, most);
  if (!value) return std::nullopt;
  if (*value != std::floor(*value)) refuse(column, "a whole number");
  return static_cast<int>(*value);
}

std::optional<Seconds> Row::wait(std::string_view column, Seconds unit) const {
  const auto units = number(column, 0, 1000);
  if (!units) return std::nullopt;
  return Seconds{std::llround(*units * static_cast<double>(unit.count()))};
}

std::optional<Celsius> Row::celsius(std::string_view column) const {
  const auto degrees = number(column, -20, 60);
  if (!degrees) return std::nullopt;
  return Celsius{std::llround(*degrees * 1000)};
}

std::optional<Percent> Row::percent(std::string_view column) const {
  const auto value = number(column, 0, 100);
  if (!value) return std::nullopt;
  return Percent{std::llround(*value * 10)};
}

}  // namespace trencher::reference
