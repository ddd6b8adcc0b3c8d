#include "book/salvage.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <fstream>

#include "book/chain.h"
#include "book/entry_line.h"
#include "book/sql.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

constexpr std::size_t usual_page = 4096;  // what SQLite makes, and so every book

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::string out((std::istreambuf_iterator<char>(in)), {});
  if (!in && !in.eof()) throw Error::book(fmt::format("{} cannot be read.", path.string()));
  return out;
}

void copy_private(const std::filesystem::path& from, const std::filesystem::path& to) {
  std::error_code why;
  std::filesystem::copy_file(from, to, why);
  if (why)
    throw Error::book(fmt::format("{} cannot be copied to {}: {}.", from.string(),
                                  to.parent_path().string(), why.message()));
  std::filesystem::permissions(to, std::filesystem::perms(0600), why);
}

// The last entry's number as SQLite finds it, which also makes it undo what a power cut left.
std::optional<std::int64_t> last_by_sqlite(const std::filesystem::path& copy) {
  try {
    return Sql::open(copy).number("SELECT number FROM entry ORDER BY number DESC LIMIT 1");
  } catch (const Error&) {
    return {};
  }
}

std::size_t page_size_of(std::string_view bytes) {
  if (bytes.size() < 100) return usual_page;
  const std::size_t said = static_cast<std::size_t>(static_cast<unsigned char>(bytes[16])) << 8 |
                           static_cast<unsigned char>(bytes[17]);
  const std::size_t size = said == 1 ? 65536 : said;
  return size >= 512 && std::has_single_bit(size) ? size : usual_page;
}

void salvage_book(const std::filesystem::path& damaged, const std::filesystem::path& scratch,
                  Salvage& out) {
  const std::filesystem::path copy = scratch / "book.db";
  copy_private(damaged, copy);
  const std::filesystem::path journal = damaged.string() + "-journal";
  if (std::error_code ignored; std::filesystem::is_regular_file(journal, ignored))
    copy_private(journal, copy.string() + "-journal");
  const auto last = last_by_sqlite(copy);
  const std::string bytes = bytes_of(copy);
  const std::size_t page = page_size_of(bytes);
  search_rows(bytes, page, out);
  if (page != usual_page) search_rows(bytes, usual_page, out);
  const std::int64_t found = out.entries.empty() ? 0 : out.entries.rbegin()->first;
  if (last && *last >= found) out.last = *last;
}

bool take_line(const std::string& line, Salvage& out, std::optional<Json>& trailer) {
  try {
    const Json json = Json::parse(line);
    if (const Json* person = json.find("person")) {
      out.persons.push_back({person->text("id"), person->text("salt"), person->text("name"),
                             person->text("contact")});
    } else if (const Json* file = json.find("file")) {
      std::string bytes = from_base64(file->text("base64"));
      if (sha256_hex(bytes) == file->text("sha256"))
        out.files[file->text("sha256")] = std::move(bytes);
      else
        ++out.files_hurt;
    } else if (const Json* said = json.find("trailer")) {
      trailer = *said;
    } else {
      const Entry entry = entry_from_line(json);
      if (entry.number > 0) out.entries[entry.number].push_back(entry);
    }
    return true;
  } catch (const Error&) {
    return false;
  }
}

// By the trailer's count: entries that neither stand there nor are missing between others are
// missing at the end.
std::optional<std::int64_t> last_by_trailer(const Json& trailer, const Salvage& out) {
  const auto count = trailer.maybe_integer("entries");
  if (!count) return {};
  Rescues known;
  std::int64_t found = 0, between = 0, last = 0;
  for (const auto& [number, entries] : out.entries)
    for (const Entry& entry : entries)
      if (entry.kind == rescued_kind) try {
          known.take(number, Rescued::read(parse_body(entry.body)));
        } catch (const Error&) {
          continue;
        }
  for (const auto& [number, entries] : out.entries) {
    for (std::int64_t missing = last + 1; missing < number && between <= *count; ++missing)
      between += !known.is_lost(missing);
    last = number;
    ++found;
  }
  const std::int64_t behind = *count - found - between;
  return behind < 0 ? std::nullopt : std::optional(last + behind);
}

void salvage_export(const std::string& bytes, Salvage& out) {
  std::optional<Json> trailer;
  for (std::size_t at = 0; at < bytes.size();) {
    const std::size_t end = std::min(bytes.find('\n', at), bytes.size());
    take_line(bytes.substr(at, end - at), out, trailer);
    at = end + 1;
  }
  if (!trailer) return;
  out.id = trailer->maybe_text("book").value_or("");
  if (out.id.size() != 32) out.id.clear();
  out.last = last_by_trailer(*trailer, out);
}

// Either beginning may be hurt; but a book's file is full of zero bytes, and an export has none.
bool is_export(std::string_view bytes) {
  if (bytes.starts_with("SQLite format 3")) return false;
  return std::count(bytes.begin(), bytes.end(), '\0') < 100;
}

}  // namespace

Salvage salvage(const std::filesystem::path& damaged, const std::filesystem::path& scratch) {
  const std::string name = damaged.string();
  std::error_code ignored;
  if (!std::filesystem::exists(damaged, ignored))
    throw Error::book(fmt::format("There is no file {}.", name));
  if (!std::filesystem::is_regular_file(damaged, ignored))
    throw Error::book(fmt::format("{} is not an ordinary file, so it is not read.", name));
  Salvage out;
  const std::string bytes = bytes_of(damaged);
  out.sha256 = sha256_hex(bytes);
  const bool lines = is_export(bytes);
  out.source = lines ? "export" : "book";
  if (lines)
    salvage_export(bytes, out);
  else
    salvage_book(damaged, scratch, out);
  if (out.entries.empty())
    throw Error::book(fmt::format("Nothing in {} can be read as an entry of a book.", name));
  return out;
}

}  // namespace trencher::book
