#include "domain/json_canonical.h"

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <string>
#include <utility>

#include "domain/text.h"

namespace trencher {
namespace {

enum class Byte : unsigned char { plain, quote, backslash, beyond_ascii, never };

constexpr std::array<Byte, 256> bytes_in_text = [] {
  std::array<Byte, 256> out{};
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = i < 0x20 ? Byte::never : i < 0x80 ? Byte::plain : Byte::beyond_ascii;
  out['"'] = Byte::quote;
  out['\\'] = Byte::backslash;
  return out;
}();

// How many bytes from `at` on stand for themselves in a JSON text: ASCII from the blank on, but for
// the quotation mark and the backslash.
std::size_t plain_run(const char* at, const char* end) {
  // Eight bytes at once, until one of them is none of these.
  constexpr std::uint64_t ones = 0x0101010101010101, highs = 0x8080808080808080;
  const char* const first = at;
  for (std::uint64_t eight = 0; end - at >= 8; at += 8) {
    std::memcpy(&eight, at, 8);
    const std::uint64_t quotes = eight ^ (ones * '"'), backslashes = eight ^ (ones * '\\');
    const std::uint64_t low = (eight - ones * ' ') & ~eight;
    const std::uint64_t marks = ((quotes - ones) & ~quotes) | ((backslashes - ones) & ~backslashes);
    const std::uint64_t found = (low | marks | eight) & highs;
    if (!found) continue;
    // Borrows make false marks only behind, that is above, the first.
    if constexpr (std::endian::native == std::endian::little)
      return static_cast<std::size_t>(at - first + std::countr_zero(found) / 8);
    break;
  }
  while (at != end && bytes_in_text[static_cast<unsigned char>(*at)] == Byte::plain) ++at;
  return static_cast<std::size_t>(at - first);
}

// Reads one value after another as canonical() writes them. Each function returns false where the
// text has another form, or one that canonical() seldom writes.
class Canonical {
 public:
  explicit Canonical(std::string_view text) : at_(text.data()), end_(at_ + text.size()) {}

  bool value(Json& out) {
    if (at_ == end_) return false;
    switch (*at_) {
      case '{':
        return object(out);
      case '[':
        return list(out);
      case '"': {
        std::string text;
        if (!string(text)) return false;
        out = std::move(text);
        return true;
      }
      case 't':
        out = true;
        return word("true");
      case 'f':
        out = false;
        return word("false");
      default:
        return number(out);
    }
  }

  bool at_end() const { return at_ == end_; }
  bool beyond_ascii() const { return beyond_ascii_; }

 private:
  static constexpr int deepest = 32;
  static constexpr std::size_t usual_members = 6, usual_items = 4;

  bool next_is(char c) {
    if (at_ == end_ || *at_ != c) return false;
    ++at_;
    return true;
  }

  bool word(std::string_view wanted) {
    if (!std::string_view(at_, end_).starts_with(wanted)) return false;
    at_ += wanted.size();
    return true;
  }

  // At most 15 digits: within what canonical() writes.
  bool number(Json& out) {
    const bool negative = next_is('-');
    const char* first = at_;
    std::int64_t value = 0;
    while (at_ != end_ && *at_ >= '0' && *at_ <= '9' && at_ - first < 16)
      value = value * 10 + (*at_++ - '0');
    const auto digits = at_ - first;
    if (digits == 0 || digits > 15 || (*first == '0' && (digits > 1 || negative))) return false;
    out = negative ? -value : value;
    return true;
  }

  bool string(std::string& out) { return take_string(at_, end_, out, beyond_ascii_); }

  bool object(Json& out) {
    if (++depth_ > deepest) return false;
    ++at_;
    Json::Object members;
    if (!next_is('}')) {
      members.reserve(usual_members);
      do {
        auto& [name, json] = members.emplace_back();
        // Beyond ASCII, names have another order than their bytes.
        const bool before = std::exchange(beyond_ascii_, false);
        if (!string(name) || beyond_ascii_) return false;
        beyond_ascii_ = before;
        if (members.size() > 1 && !(members[members.size() - 2].first < name)) return false;
        if (!next_is(':') || !value(json)) return false;
      } while (next_is(','));
      if (!next_is('}')) return false;
    }
    --depth_;
    out = Json::of_members(std::move(members));
    return true;
  }

  bool list(Json& out) {
    if (++depth_ > deepest) return false;
    ++at_;
    Json::Array items;
    if (!next_is(']')) {
      items.reserve(usual_items);
      do {
        if (!value(items.emplace_back())) return false;
      } while (next_is(','));
      if (!next_is(']')) return false;
    }
    --depth_;
    out = Json(std::move(items));
    return true;
  }

  const char* at_;
  const char* const end_;
  int depth_ = 0;
  bool beyond_ascii_ = false;
};

}  // namespace

bool take_string(const char*& at, const char* end, std::string& out, bool& beyond_ascii) {
  static constexpr std::string_view marks = "\"\\bfnrt", meant = "\"\\\b\f\n\r\t";
  if (at == end || *at != '"') return false;
  for (const char* from = ++at;; ++at) {
    at += plain_run(at, end);
    if (at == end) return false;
    switch (bytes_in_text[static_cast<unsigned char>(*at)]) {
      case Byte::plain:
        break;
      case Byte::beyond_ascii:
        beyond_ascii = true;
        break;
      case Byte::quote:
        out.append(from, static_cast<std::size_t>(at++ - from));
        return true;
      case Byte::backslash: {
        // In one piece: most texts with one of these have many.
        if (out.empty()) out.reserve(static_cast<std::size_t>(end - from));
        out.append(from, static_cast<std::size_t>(at++ - from));
        const auto mark = at == end ? std::string_view::npos : marks.find(*at);
        if (mark == std::string_view::npos) return false;
        out += meant[mark];
        from = at + 1;
        break;
      }
      case Byte::never:
        return false;
    }
  }
}

std::optional<Json> read_canonical(std::string_view text) {
  std::optional<Json> out(std::in_place);
  Canonical reader(text);
  if (!reader.value(*out) || !reader.at_end() || (reader.beyond_ascii() && !is_utf8(text)))
    out.reset();
  return out;
}

}  // namespace trencher
