#include "domain/json.h"

#include <fmt/format.h>
#include <simdjson.h>
#include <utf8.h>

#include <algorithm>
#include <array>
#include <span>
#include <stdexcept>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher {
namespace {

constexpr std::int64_t largest_exact = (std::int64_t{1} << 53) - 1;  // RFC 8785 section 3.2.2.3

// One character or byte of what is not ASCII, from `at` on; returns where the next begins. Printed
// JSON says by \\u what would steer a terminal or not be seen, and by U+FFFD what is no UTF-8.
std::size_t write_beyond_ascii(std::string& out, std::string_view value, std::size_t at) {
  auto next = value.begin() + static_cast<std::ptrdiff_t>(at);
  const auto start = next;
  std::uint32_t c = 0xFFFD;
  try {
    c = utf8::next(next, value.end());
  } catch (const utf8::exception&) {
    out += "\\ufffd";
    return at + 1;
  }
  if (!is_hidden(c)) {
    out.append(start, next);
  } else {
    for (const char16_t unit : to_utf16(std::string_view(start, next)))
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(unit));
  }
  return static_cast<std::size_t>(next - value.begin());
}

void write_text(std::string& out, std::string_view value, bool canonical) {
  out += '"';
  const auto plain = [&](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0x20 && c != '"' && c != '\\' && (canonical || byte < 0x7F);
  };
  for (std::size_t at = 0; at < value.size();) {
    std::size_t end = at;
    while (end < value.size() && plain(value[end])) ++end;
    out.append(value, at, end - at);
    if (end == value.size()) break;
    at = end;
    const char c = value[at];
    if (!canonical && static_cast<unsigned char>(c) >= 0x7F) {
      at = write_beyond_ascii(out, value, at);
      continue;
    }
    ++at;
    switch (c) {
      case '"':
        out += "\\\"";
        break;
      case '\\':
        out += "\\\\";
        break;
      case '\b':
        out += "\\b";
        break;
      case '\f':
        out += "\\f";
        break;
      case '\n':
        out += "\\n";
        break;
      case '\r':
        out += "\\r";
        break;
      case '\t':
        out += "\\t";
        break;
      default:
        out += fmt::format("\\u{:04x}", static_cast<unsigned char>(c));
    }
  }
  out += '"';
}

// Each name stands once; those of nulls count too, though they are left out.
void check_names(const simdjson::dom::object& object) {
  std::array<std::string_view, 32> few;
  std::vector<std::string_view> many;
  std::span<std::string_view> names(few);
  if (object.size() > few.size()) {
    many.resize(object.size());
    names = many;
  }
  names = names.first(object.size());
  auto place = names.begin();
  for (const auto member : object) *place++ = member.key;
  // What the book wrote is in order, so that neighbours suffice.
  if (!std::is_sorted(names.begin(), names.end())) std::sort(names.begin(), names.end());
  if (const auto twice = std::adjacent_find(names.begin(), names.end()); twice != names.end())
    throw Error::request(fmt::format("The JSON names '{}' twice in one object.", *twice));
}

Json from(simdjson::dom::element element, bool decimals) {
  using simdjson::dom::element_type;
  switch (element.type()) {
    case element_type::NULL_VALUE:
      return {};
    case element_type::BOOL:
      return Json(bool(element));
    case element_type::INT64:
      return Json(std::int64_t(element));
    case element_type::STRING:
      return Json(std::string_view(element));
    case element_type::ARRAY: {
      Json out = Json::array();
      for (const auto item : simdjson::dom::array(element)) out.push(from(item, decimals));
      return out;
    }
    case element_type::OBJECT: {
      const simdjson::dom::object object(element);
      check_names(object);
      Json::Object members;
      members.reserve(object.size());
      for (const auto member : object)
        if (!member.value.is_null()) members.emplace_back(member.key, from(member.value, decimals));
      return Json::of_members(std::move(members));
    }
    default:
      if (decimals) return Json::decimal(double(element), 9);
      throw Error::request("The JSON holds a number that is not whole, where none may stand.");
  }
}

// Names by their UTF-16 code units (RFC 8785 section 3.2.3), which for ASCII are its bytes.
bool before(const std::string& a, const std::string& b) {
  const auto beyond = [](const std::string& name) {
    return std::any_of(name.begin(), name.end(),
                       [](char c) { return static_cast<unsigned char>(c) >= 0x80; });
  };
  if (beyond(a) || beyond(b)) return to_utf16(a) < to_utf16(b);
  return a < b;
}

[[noreturn]] void wrong(std::string_view name, std::string_view want) {
  throw Error::book(fmt::format(
      "An entry of the book has no {} called '{}': the book is damaged or not Trencher's.", want,
      name));
}

template <typename T>
const T& as(const auto& value, std::string_view name, std::string_view want) {
  const T* held = std::get_if<T>(&value);
  if (!held) wrong(name, want);
  return *held;
}

}  // namespace

Json Json::decimal(double value, int digits) {
  Json out;
  std::string text = fmt::format("{:.{}f}", value, digits);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  if (text == "-0") text = "0";
  out.value_ = Decimal{std::move(text)};
  return out;
}

Json Json::parse(std::string_view text, bool decimals) {
  // One parser for each thread: its buffers are what costs.
  thread_local simdjson::dom::parser parser;
  simdjson::dom::element element;
  if (const auto code = parser.parse(text.data(), text.size()).get(element))
    throw Error::request(fmt::format("That is not JSON: {}.", simdjson::error_message(code)));
  return from(element, decimals);
}

Json& Json::set(std::string_view name, Json value) {
  Object& object = std::get<Object>(value_);
  const auto place = std::find_if(object.begin(), object.end(),
                                  [&](const auto& member) { return member.first == name; });
  if (value.is_null()) {
    if (place != object.end()) object.erase(place);
  } else if (place != object.end()) {
    place->second = std::move(value);
  } else {
    object.emplace_back(name, std::move(value));
  }
  return *this;
}

Json& Json::set_or_null(std::string_view name, Json value) {
  if (!value.is_null()) return set(name, std::move(value));
  set(name, Json());
  std::get<Object>(value_).emplace_back(name, Json());
  return *this;
}

Json& Json::push(Json value) {
  std::get<Array>(value_).push_back(std::move(value));
  return *this;
}

const Json* Json::find(std::string_view name) const {
  const Object* object = std::get_if<Object>(&value_);
  if (!object) return nullptr;
  for (const auto& [key, value] : *object)
    if (key == name) return &value;
  return nullptr;
}

const Json::Object& Json::members() const { return as<Object>(value_, "", "object"); }
const Json::Array& Json::items() const { return as<Array>(value_, "", "list"); }
const std::string& Json::as_text() const { return as<std::string>(value_, "", "text"); }
std::int64_t Json::as_integer() const { return as<std::int64_t>(value_, "", "whole number"); }
bool Json::as_boolean() const { return as<bool>(value_, "", "yes or no"); }

const Json& Json::at(std::string_view name) const {
  const Json* member = find(name);
  if (!member) wrong(name, "member");
  return *member;
}

const std::string& Json::text(std::string_view name) const {
  return as<std::string>(at(name).value_, name, "text");
}

std::int64_t Json::integer(std::string_view name) const {
  return as<std::int64_t>(at(name).value_, name, "whole number");
}

std::optional<std::string> Json::maybe_text(std::string_view name) const {
  return find(name) ? std::optional(text(name)) : std::nullopt;
}

std::optional<std::int64_t> Json::maybe_integer(std::string_view name) const {
  return find(name) ? std::optional(integer(name)) : std::nullopt;
}

bool Json::flag(std::string_view name) const {
  return find(name) && as<bool>(at(name).value_, name, "yes or no");
}

std::vector<std::string> Json::texts(std::string_view name) const {
  std::vector<std::string> out;
  if (const Json* list = find(name))
    for (const Json& item : as<Array>(list->value_, name, "list"))
      out.push_back(as<std::string>(item.value_, name, "list of text"));
  return out;
}

std::vector<std::int64_t> Json::integers(std::string_view name) const {
  std::vector<std::int64_t> out;
  if (const Json* list = find(name))
    for (const Json& item : as<Array>(list->value_, name, "list"))
      out.push_back(as<std::int64_t>(item.value_, name, "list of whole numbers"));
  return out;
}

// `indent` is negative where all goes on one line.
void Json::write(std::string& out, bool canonical, int indent) const {
  const auto line = [&](int depth) {
    if (indent >= 0) out.append("\n").append(static_cast<std::size_t>(depth) * 2, ' ');
  };
  const int inner = indent < 0 ? indent : indent + 1;
  if (is_null()) {
    out += "null";
  } else if (const bool* flag = std::get_if<bool>(&value_)) {
    out += *flag ? "true" : "false";
  } else if (const auto* number = std::get_if<std::int64_t>(&value_)) {
    if (canonical && (*number > largest_exact || *number < -largest_exact))
      throw std::logic_error("number too large for an entry body");
    out += std::to_string(*number);
  } else if (const auto* decimal = std::get_if<Decimal>(&value_)) {
    if (canonical) throw std::logic_error("a fraction in an entry body");
    out += decimal->digits;
  } else if (const auto* text = std::get_if<std::string>(&value_)) {
    write_text(out, *text, canonical);
  } else if (const auto* array = std::get_if<Array>(&value_)) {
    out += '[';
    for (std::size_t i = 0; i < array->size(); ++i) {
      if (i) out += ',';
      line(inner);
      (*array)[i].write(out, canonical, inner);
    }
    if (!array->empty()) line(indent);
    out += ']';
  } else {
    const Object& object = std::get<Object>(value_);
    bool first = true;
    const auto member = [&](const Object::value_type& named) {
      if (!first) out += ',';
      first = false;
      line(inner);
      write_text(out, named.first, canonical);
      out += indent < 0 ? ":" : ": ";
      named.second.write(out, canonical, inner);
    };
    const auto earlier = [](const auto& a, const auto& b) { return before(a.first, b.first); };
    out += '{';
    if (canonical && !std::is_sorted(object.begin(), object.end(), earlier)) {
      std::vector<const Object::value_type*> order;
      for (const auto& named : object) order.push_back(&named);
      std::sort(order.begin(), order.end(),
                [&](const auto* a, const auto* b) { return earlier(*a, *b); });
      for (const auto* named : order) member(*named);
    } else {
      for (const auto& named : object) member(named);
    }
    if (!object.empty()) line(indent);
    out += '}';
  }
}

std::string Json::canonical() const {
  std::string out;
  write(out, true, -1);
  return out;
}

std::string Json::text() const {
  std::string out;
  write(out, false, -1);
  return out;
}

std::string Json::pretty() const {
  std::string out;
  write(out, false, 0);
  return out;
}

}  // namespace trencher
