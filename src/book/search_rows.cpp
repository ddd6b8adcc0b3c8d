// The search for rows in the bytes of a book's file. The first bytes of each kind of row are always
// the same (fixed lengths of times, ids and hashes), which makes them easy to find and hard to
// mistake; the hashes prove them later.
#include <algorithm>
#include <set>
#include <variant>

#include "book/salvage.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

struct Null {};
using Value = std::variant<Null, std::int64_t, std::string>;

class Search {
 public:
  Search(std::string_view bytes, std::size_t page_size, Salvage& out)
      : bytes_(bytes), page_(page_size), out_(out) {}

  void run() {
    for (std::size_t at = 0; at + 8 < bytes_.size(); ++at) {
      if (entry(at) || file(at) || person(at)) continue;
      book(at);
    }
  }

 private:
  // A varint at `at`, which moves behind it; nothing where the bytes end.
  std::optional<std::uint64_t> varint(std::string_view in, std::size_t& at) const {
    std::uint64_t value = 0;
    for (int i = 0; i < 9; ++i) {
      if (at >= in.size()) return {};
      const auto byte = static_cast<unsigned char>(in[at++]);
      if (i == 8) return value << 8 | byte;
      value = value << 7 | (byte & 0x7Fu);
      if (!(byte & 0x80u)) return value;
    }
    return {};
  }

  bool is(std::size_t at, unsigned char byte) const {
    return at < bytes_.size() && static_cast<unsigned char>(bytes_[at]) == byte;
  }

  // How much of a payload of `size` bytes stands in the cell itself (section 1.6).
  std::size_t local_size(std::size_t size, bool table) const {
    const std::size_t most = table ? page_ - 35 : (page_ - 12) * 64 / 255 - 23;
    if (size <= most) return size;
    const std::size_t least = (page_ - 12) * 32 / 255 - 23;
    const std::size_t kept = least + (size - least) % (page_ - 4);
    return kept <= most ? kept : least;
  }

  // The payload of `size` bytes whose first part is at `at`, with its overflow pages.
  std::optional<std::string> payload(std::size_t at, std::uint64_t size, bool table) const {
    if (size > bytes_.size()) return {};
    const std::size_t here = local_size(size, table);
    if (at + here > (at / page_ + 1) * page_ || at + here > bytes_.size()) return {};
    std::string out(bytes_.substr(at, here));
    for (std::size_t from = at + here; out.size() < size;) {
      const auto next = page_number(from);
      if (next < 2 || next * page_ > bytes_.size()) return {};
      from = (next - 1) * page_;
      out += bytes_.substr(from + 4, std::min<std::size_t>(page_ - 4, size - out.size()));
    }
    return out;
  }

  std::size_t page_number(std::size_t at) const {
    std::size_t out = 0;
    for (std::size_t i = 0; i < 4; ++i)
      out = out << 8 | (at + i < bytes_.size() ? static_cast<unsigned char>(bytes_[at + i]) : 0u);
    return out;
  }

  // The values of a record (section 2.1); nothing where it is none.
  std::optional<std::vector<Value>> record(std::string_view in, std::size_t columns) const {
    std::size_t at = 0;
    const auto header = varint(in, at);
    if (!header || *header > in.size()) return {};
    std::vector<std::uint64_t> types;
    while (at < *header) {
      const auto type = varint(in.substr(0, *header), at);
      if (!type) return {};
      types.push_back(*type);
    }
    if (types.size() != columns) return {};
    std::vector<Value> out;
    for (const std::uint64_t type : types) {
      static constexpr std::size_t sizes[]{0, 1, 2, 3, 4, 6, 8, 8, 0, 0};
      if (type == 7 || type == 10 || type == 11) return {};
      const std::size_t size = type < 10 ? sizes[type] : (type - 12) / 2;
      if (size > in.size() - at) return {};
      out.push_back(value(type, in.substr(at, size)));
      at += size;
    }
    return at == in.size() ? std::optional(out) : std::nullopt;
  }

  static Value value(std::uint64_t type, std::string_view in) {
    if (type == 0) return Null{};
    if (type == 8 || type == 9) return static_cast<std::int64_t>(type - 8);
    if (type >= 12) return std::string(in);
    std::uint64_t bits = static_cast<unsigned char>(in[0]) & 0x80u ? ~std::uint64_t{0} : 0;
    for (const char c : in) bits = bits << 8 | static_cast<unsigned char>(c);
    return static_cast<std::int64_t>(bits);
  }

  // The cell of a table at `at`: its row's number and its record.
  struct Cell {
    std::int64_t number = 0;
    std::size_t payload_at = 0;
    std::uint64_t size = 0;
  };
  std::optional<Cell> cell(std::size_t at) const {
    const auto size = varint(bytes_, at);
    if (!size || *size < 4 || *size > bytes_.size()) return {};
    const auto number = varint(bytes_, at);
    if (!number) return {};
    return Cell{static_cast<std::int64_t>(*number), at, *size};
  }

  // number is NULL in the record (it is the row's own), both times have 20 letters.
  bool entry(std::size_t at) {
    const auto found = cell(at);
    if (!found || !is(found->payload_at + 1, 0) || !is(found->payload_at + 2, 53)) return false;
    const auto bytes = payload(found->payload_at, found->size, true);
    if (!bytes) return false;
    const auto row = record(*bytes, 9);
    if (!row) return false;
    const auto text = [&](std::size_t i) { return std::get_if<std::string>(&(*row)[i]); };
    const auto number = [&](std::size_t i) { return std::get_if<std::int64_t>(&(*row)[i]); };
    if (!text(1) || !number(2) || !text(3) || !number(4) || !text(5) || !number(6) || !text(7) ||
        !text(8) || found->number < 1)
      return false;
    try {
      constexpr auto day = 24 * std::int64_t{60};  // minutes
      if (*number(2) <= -day || *number(2) >= day) return false;
      Entry out{found->number,
                {instant_from_iso(*text(1)), static_cast<int>(*number(2))},
                instant_from_iso(*text(3)),
                *number(4),
                *text(5),
                *number(6),
                *text(7),
                *text(8)};
      std::vector<Entry>& same = out_.entries[out.number];
      const auto alike = [&](const Entry& other) {
        return entry_hash("", other) == entry_hash("", out) && other.hash == out.hash;
      };
      if (std::none_of(same.begin(), same.end(), alike)) same.push_back(std::move(out));
    } catch (const Error&) {
      return false;
    }
    return true;
  }

  // A SHA-256 of 64 letters and bytes.
  bool file(std::size_t at) {
    const auto found = cell(at);
    if (!found || !is(found->payload_at + 1, 0x81) || !is(found->payload_at + 2, 13)) return false;
    const auto bytes = payload(found->payload_at, found->size, true);
    auto row = bytes ? record(*bytes, 2) : std::nullopt;
    if (!row) return false;
    const auto* digest = std::get_if<std::string>(&row->front());
    auto* content = std::get_if<std::string>(&row->back());
    if (!digest || !content) return false;
    if (sha256_hex(*content) == *digest)
      out_.files[*digest] = std::move(*content);
    else
      ++out_.files_hurt;
    return true;
  }

  // An id of 32 letters, a salt of 64, a name and a contact, in a table without row numbers.
  bool person(std::size_t at) {
    const auto size = varint(bytes_, at);
    if (!size || !is(at + 1, 77) || !is(at + 2, 0x81) || !is(at + 3, 13)) return false;
    const auto bytes = payload(at, *size, false);
    const auto row = bytes ? record(*bytes, 4) : std::nullopt;
    if (!row) return false;
    Person out;
    std::string* const into[]{&out.id, &out.salt, &out.name, &out.contact};
    for (std::size_t i = 0; i < 4; ++i) {
      const auto* text = std::get_if<std::string>(&(*row)[i]);
      if (!text || !is_utf8(*text)) return false;
      *into[i] = *text;
    }
    const auto alike = [&](const Person& other) { return seal(other) == seal(out); };
    if (std::none_of(out_.persons.begin(), out_.persons.end(), alike))
      out_.persons.push_back(std::move(out));
    return true;
  }

  // The one row of `book`: an id of 32 hexadecimal digits, and 1, which is the row's number.
  bool book(std::size_t at) {
    if (!out_.id.empty() || bytes_.substr(at, 5) != std::string_view("\x23\x01\x03\x4d\0", 5))
      return false;
    const std::string_view id = bytes_.substr(at + 5, 32);
    if (id.size() != 32 || id.find_first_not_of("0123456789abcdef") != std::string_view::npos)
      return false;
    out_.id = id;
    return true;
  }

  std::string_view bytes_;
  std::size_t page_;
  Salvage& out_;
};

}  // namespace

void search_rows(std::string_view bytes, std::size_t page_size, Salvage& out) {
  Search(bytes, page_size, out).run();
}

}  // namespace trencher::book
