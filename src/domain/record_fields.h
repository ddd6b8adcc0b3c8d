// How members of a body are read and written. For domain/records*.cpp alone.
#pragma once

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/error.h"
#include "domain/records.h"

namespace trencher::fields {

inline std::optional<Celsius> celsius(const Json& body, std::string_view name) {
  const auto milli = body.maybe_integer(name);
  return milli ? std::optional(Celsius{*milli}) : std::nullopt;
}

inline std::optional<Percent> percent(const Json& body, std::string_view name) {
  const auto permille = body.maybe_integer(name);
  return permille ? std::optional(Percent{*permille}) : std::nullopt;
}

inline Json milli(const std::optional<Celsius>& value) {
  return value ? Json(value->milli) : Json();
}
inline Json permille(const std::optional<Percent>& value) {
  return value ? Json(value->permille) : Json();
}
inline Json day(const std::optional<Day>& value) { return value ? Json(iso(*value)) : Json(); }
inline Json instant(const std::optional<Instant>& value) {
  return value ? Json(iso(*value)) : Json();
}

inline Day read_iso_day(const std::string& text, std::string_view name = "day") {
  const auto day = day_from_iso(text);
  if (!day)
    throw Error::book(fmt::format("The book has '{}' as the day '{}', which is none.", text, name));
  return *day;
}

inline std::optional<Day> read_day(const Json& body, std::string_view name) {
  const auto text = body.maybe_text(name);
  return text ? std::optional(read_iso_day(*text, name)) : std::nullopt;
}

// Absent and empty are one.
inline Json filled(const std::string& value) { return value.empty() ? Json() : Json(value); }
inline Json filled(const std::vector<std::string>& values) {
  return values.empty() ? Json() : Json::list(values);
}
inline Json filled(const std::vector<int>& values) {
  return values.empty() ? Json() : Json::list(values);
}
inline Json filled(bool value) { return value ? Json(true) : Json(); }

inline std::string read_text(const Json& body, std::string_view name) {
  return body.find(name) ? body.text(name) : "";
}

inline std::vector<int> read_numbers(const Json& body, std::string_view name) {
  const auto wide = body.integers(name);
  return {wide.begin(), wide.end()};
}

inline void set_amount(Json& body, const std::optional<Amount>& amount) {
  if (!amount) return;
  body.set(amount->measure == Amount::Measure::volume ? "amount_ul" : "amount_mg", amount->value);
}

inline std::optional<Amount> read_amount(const Json& body) {
  if (const auto ul = body.maybe_integer("amount_ul")) return Amount{Amount::Measure::volume, *ul};
  if (const auto mg = body.maybe_integer("amount_mg")) return Amount{Amount::Measure::mass, *mg};
  return {};
}

inline Json size_json(const Size& size) {
  Json out = Json::object();
  out.set("length_um", size.length.um).set("thickness_um", size.thickness.um);
  out.set("width_um", size.width.um);
  return out;
}

inline Size read_size(const Json& json) {
  return {{json.integer("length_um")}, {json.integer("width_um")}, {json.integer("thickness_um")}};
}

inline Json drawn_json(const std::vector<Drawn>& drawn) {
  if (drawn.empty()) return {};
  Json list = Json::array();
  for (const Drawn& part : drawn) {
    Json item = Json::object();
    item.set("tin", part.tin).set("estimated", filled(part.estimated));
    set_amount(item, part.amount);
    list.push(std::move(item));
  }
  return list;
}

inline std::vector<Drawn> read_drawn(const Json& body) {
  std::vector<Drawn> out;
  if (const Json* list = body.find("drawn"))
    for (const Json& item : list->items())
      out.push_back({item.text("tin"), read_amount(item), item.flag("estimated")});
  return out;
}

}  // namespace trencher::fields
