// A JSON value: what entry bodies are made of and what --json prints.
//
// Two ways of writing: canonical() is RFC 8785 without fractions, the bytes that the book stores
// and hashes; text() keeps the order in which members were set and may hold decimals.
//
//   Json body = Json::object();
//   body.set("batch", "26-014");
//   body.canonical();            // {"batch":"26-014"}
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace trencher {

class Json {
 public:
  using Array = std::vector<Json>;
  using Object = std::vector<std::pair<std::string, Json>>;  // in the order set; names are unique

  Json() = default;  // null
  Json(bool value) : value_(value) {}
  Json(int value) : value_(std::int64_t{value}) {}
  Json(std::int64_t value) : value_(value) {}
  Json(std::size_t value) : value_(static_cast<std::int64_t>(value)) {}
  Json(std::string value) : value_(std::move(value)) {}
  Json(std::string_view value) : value_(std::string(value)) {}
  Json(const char* value) : value_(std::string(value)) {}
  Json(Array value) : value_(std::move(value)) {}
  template <typename T>
  Json(const std::optional<T>& value) {
    if (value) *this = Json(*value);
  }
  template <typename T>
  static Json list(const std::vector<T>& values) {
    return Json(Array(values.begin(), values.end()));
  }

  static Json object() { return Json(Object{}); }
  static Json array() { return Json(Array{}); }
  static Json of_members(Object members) {
    return Json(std::move(members));
  }  // REQUIRES: no name twice, no null
  // A number with `digits` after the point, for output only.
  static Json decimal(double value, int digits);

  // Reads one JSON text. Throws Error::request saying where it stops being JSON; numbers must be
  // whole unless `decimals` allows others.
  static Json parse(std::string_view text, bool decimals = false);

  bool is_null() const { return std::holds_alternative<std::monostate>(value_); }
  bool is_object() const { return std::holds_alternative<Object>(value_); }
  bool is_array() const { return std::holds_alternative<Array>(value_); }
  bool is_text() const { return std::holds_alternative<std::string>(value_); }
  bool is_integer() const { return std::holds_alternative<std::int64_t>(value_); }
  bool is_boolean() const { return std::holds_alternative<bool>(value_); }

  // Sets a member, replacing one of that name. A null value is left out: absent and null are one.
  Json& set(std::string_view name, Json value);
  // As set(), but keeps a null: for output whose readers look for every name.
  Json& set_or_null(std::string_view name, Json value);
  Json& push(Json value);

  const Json* find(std::string_view name) const;  // null pointer where absent
  const Object& members() const;
  const Array& items() const;

  // A member of the stated type; Error::book naming the member where it is absent or another type:
  // bodies are ours, so a wrong one means a damaged or foreign book.
  const std::string& text(std::string_view name) const;
  std::int64_t integer(std::string_view name) const;
  const Json& at(std::string_view name) const;
  std::optional<std::string> maybe_text(std::string_view name) const;
  std::optional<std::int64_t> maybe_integer(std::string_view name) const;
  bool flag(std::string_view name) const;                           // absent counts as false
  std::vector<std::string> texts(std::string_view name) const;      // absent counts as empty
  std::vector<std::int64_t> integers(std::string_view name) const;  // absent counts as empty

  const std::string& as_text() const;
  std::int64_t as_integer() const;
  bool as_boolean() const;

  // RFC 8785. Throws std::logic_error on a decimal or a number beyond 2^53 - 1.
  std::string canonical() const;
  std::string text() const;    // one line, order kept
  std::string pretty() const;  // indented by two blanks, order kept

  bool operator==(const Json&) const = default;

 private:
  struct Decimal {
    std::string digits;
    bool operator==(const Decimal&) const = default;
  };
  explicit Json(Object value) : value_(std::move(value)) {}
  void write(std::string& out, bool canonical, int indent) const;

  std::variant<std::monostate, bool, std::int64_t, Decimal, std::string, Array, Object> value_;
};

}  // namespace trencher
