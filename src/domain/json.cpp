#include "domain/json.h"

#include <fmt/format.h>
#include <rapidjson/error/en.h>
#include <rapidjson/reader.h>
#include <utf8.h>

#include <algorithm>
#include <functional>
#include <iterator>
#include <limits>
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

constexpr std::size_t deepest = 1023;  // objects and lists within each other

// Takes what rapidjson's reader finds, and makes a value of it.
class Builder : public rapidjson::BaseReaderHandler<rapidjson::UTF8<>, Builder> {
 public:
  // What belongs to objects and lists that have not ended, kept from one text to the next: an
  // object then takes as much memory as it needs, at once.
  struct Open {
    Json::Object members;
    Json::Array items;
  };

  Builder(Open& open, bool decimals, bool escapes)
      : open_(open), decimals_(decimals), escapes_(escapes) {
    open.members.clear();  // of one that failed
    open.items.clear();
  }

  bool Null() { return put({}); }
  bool Bool(bool value) { return put(value); }
  bool Int(int value) { return put(value); }
  bool Uint(unsigned value) { return put(std::int64_t{value}); }
  bool Int64(std::int64_t value) { return put(value); }
  bool Uint64(std::uint64_t value) {
    if (value > std::uint64_t{std::numeric_limits<std::int64_t>::max()})
      return Double(static_cast<double>(value));
    return put(static_cast<std::int64_t>(value));
  }
  bool Double(double value) {
    if (!decimals_) complain("The JSON holds a number that is not whole, where none may stand.");
    return put(decimals_ ? Json::decimal(value, 9) : Json(0));
  }
  bool String(const char* text, rapidjson::SizeType size, bool) {
    return is_whole(text, size) && put(std::string(text, size));
  }
  bool Key(const char* text, rapidjson::SizeType size, bool) {
    open_.members.emplace_back(std::string(text, size), Json());
    return is_whole(text, size);
  }
  bool StartObject() { return deepen(true); }
  bool StartArray() { return deepen(false); }
  bool EndObject(rapidjson::SizeType) {
    Json::Object members = ended(open_.members);
    check_names(members);
    std::erase_if(members, [](const auto& member) { return member.second.is_null(); });
    return put(Json::of_members(std::move(members)));
  }
  bool EndArray(rapidjson::SizeType) { return put(ended(open_.items)); }

  // What is amiss with it although it is JSON; empty: nothing.
  const std::string& complaint() const { return complaint_; }
  bool too_deep() const { return levels_.size() >= deepest; }
  Json take() { return std::move(whole_); }

 private:
  struct Level {
    bool object;
    std::size_t first;  // of its members or items among the open ones
  };

  // The reader lets the second half of a surrogate pair stand alone where it is escaped.
  bool is_whole(const char* text, std::size_t size) const {
    return !escapes_ || is_utf8({text, size});
  }

  bool deepen(bool object) {
    if (too_deep()) return false;
    levels_.push_back({object, object ? open_.members.size() : open_.items.size()});
    return true;
  }

  // Takes those of the last level.
  template <typename List>
  List ended(List& open) {
    const auto first = open.begin() + static_cast<std::ptrdiff_t>(levels_.back().first);
    List out(std::make_move_iterator(first), std::make_move_iterator(open.end()));
    open.erase(first, open.end());
    levels_.pop_back();
    return out;
  }

  bool put(Json value) {
    if (levels_.empty())
      whole_ = std::move(value);
    else if (levels_.back().object)
      open_.members.back().second = std::move(value);
    else
      open_.items.push_back(std::move(value));
    return true;
  }

  // Each name stands once; those of nulls count too, though they are left out.
  void check_names(const Json::Object& members) {
    const auto name = [](const auto& member) -> const std::string& { return member.first; };
    // What the book wrote is in order, so that neighbours suffice.
    if (std::ranges::is_sorted(members, std::less_equal<>(), name)) return;
    std::vector<std::string_view> names;
    for (const auto& member : members) names.push_back(member.first);
    std::sort(names.begin(), names.end());
    if (const auto twice = std::adjacent_find(names.begin(), names.end()); twice != names.end())
      complain(fmt::format("The JSON names '{}' twice in one object.", *twice));
  }

  void complain(std::string what) {
    if (complaint_.empty()) complaint_ = std::move(what);
  }

  Open& open_;
  bool decimals_, escapes_;
  std::vector<Level> levels_;
  Json whole_;
  std::string complaint_;
};

[[noreturn]] void no_json(std::string_view why) {
  throw Error::request(fmt::format("That is not JSON: {}.", why));
}

// Names by their UTF-16 code units (RFC 8785 section 3.2.3), which bytes order otherwise only where
// two characters beyond ASCII differ.
bool before(const std::string& a, const std::string& b) {
  const auto [x, y] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
  if (x == a.end() || y == b.end()) return y != b.end();
  const auto first = static_cast<unsigned char>(*x), other = static_cast<unsigned char>(*y);
  if (first < 0x80 || other < 0x80) return first < other;
  return to_utf16(a) < to_utf16(b);
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
  // The reader ends at a zero byte, and looks at the form of UTF-8 only byte by byte.
  if (text.find('\0') != std::string_view::npos) no_json("a zero byte");
  if (!is_utf8(text)) no_json("a text that is not UTF-8");
  // It unescapes in place; one buffer for each thread, and the stacks, since making them costs.
  thread_local std::string buffer;
  thread_local rapidjson::Reader reader;
  thread_local Builder::Open open;
  buffer = text;
  rapidjson::InsituStringStream stream(buffer.data());
  Builder builder(open, decimals, text.find("\\u") != std::string_view::npos);
  constexpr auto flags = rapidjson::kParseInsituFlag | rapidjson::kParseFullPrecisionFlag;
  if (const auto result = reader.Parse<flags>(stream, builder); result.IsError()) {
    if (builder.too_deep()) no_json("its objects and lists are too deep in each other");
    if (result.Code() == rapidjson::kParseErrorTermination) no_json("half of a surrogate pair");
    const std::string_view why = rapidjson::GetParseError_En(result.Code());
    no_json(why.substr(0, why.find('.')));
  }
  if (!builder.complaint().empty()) throw Error::request(builder.complaint());
  return builder.take();
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
  const Json* list = find(name);
  if (!list) return {};
  const Array& items = as<Array>(list->value_, name, "list");
  std::vector<std::string> out;
  out.reserve(items.size());
  for (const Json& item : items) out.push_back(as<std::string>(item.value_, name, "list of text"));
  return out;
}

std::vector<std::int64_t> Json::integers(std::string_view name) const {
  const Json* list = find(name);
  if (!list) return {};
  const Array& items = as<Array>(list->value_, name, "list");
  std::vector<std::int64_t> out;
  out.reserve(items.size());
  for (const Json& item : items)
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
  thread_local std::string out;  // one that grows from nothing costs more than the writing
  out.clear();
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
