#include "book/against.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <map>

#include "book/chain.h"
#include "book/entry_line.h"
#include "book/sql.h"
#include "book/state.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

constexpr std::size_t shortest_hash = 8;  // digits of its beginning; letters print 16

// What an earlier file says of the journal.
struct Earlier {
  std::string id;  // empty: an export that was cut
  std::map<std::int64_t, std::string> hashes;
  std::int64_t broken_at = 0;  // from where on it does not follow from itself
  bool cut = false;            // an export without its trailer
};

Earlier earlier_of(const std::string& id, const std::vector<Entry>& entries) {
  Earlier out{id, {}, 0, id.empty()};
  Rescues known;
  for (const Entry& entry : entries)
    if (entry.kind == rescued_kind) try {
        known.take(entry.number, Rescued::read(parse_body(entry.body)));
      } catch (const Error&) {
        // It shows in the chain.
      }
  // Without the id the first entry is believed: it is compared with the book's.
  if (id.empty() && !entries.empty())
    known.unproved[entries.front().number] = unproved_digest(entries.front());
  Chain chain(id.empty() ? "" : first_previous_hash(id), std::move(known));
  for (const Entry& entry : entries) {
    chain.next(entry);
    out.hashes[entry.number] = entry.hash;
  }
  out.broken_at = chain.broken_at();
  return out;
}

Earlier read_export(std::ifstream& in, const std::string& name) {
  std::string id;
  std::vector<Entry> entries;
  for (std::string line; std::getline(in, line);) try {
      const Json json = Json::parse(line);
      if (json.find("number"))
        entries.push_back(entry_from_line(json));
      else if (const Json* trailer = json.find("trailer"))
        id = trailer->text("book");
    } catch (const Error&) {
      // A line that cannot be read leaves a hole, which shows.
    }
  if (entries.empty())
    throw Error::book(fmt::format("{} is neither an export nor a backup of a book.", name));
  return earlier_of(id, entries);
}

Earlier read_backup(const std::filesystem::path& file) {
  Sql sql = Sql::open(file);
  if (sql.number("PRAGMA application_id") != application_id)
    throw Error::book(
        fmt::format("{} is neither an export nor a backup of a book.", file.string()));
  std::vector<Entry> entries;
  sql.each(fmt::format("SELECT {} FROM entry ORDER BY number", entry_columns), [&](const Row& row) {
    try {
      entries.push_back(read_entry(row));
    } catch (const Error&) {
      // A hole, which shows.
    }
  });
  return earlier_of(sql.text("SELECT id FROM book").value_or(""), entries);
}

std::string entries_up_to(std::int64_t last) {
  return last == 1 ? "entry 1" : fmt::format("entries 1 to {}", last);
}

// The first entry on which book and file do not agree, and whether it is gone from the book.
struct Difference {
  std::int64_t at = 0;
  bool gone = false;
};
std::optional<Difference> first_difference(const Book& book, const Earlier& earlier,
                                           const Rescues& known, std::int64_t& lost) {
  for (const auto& [number, hash] : earlier.hashes) {
    if (earlier.broken_at && number >= earlier.broken_at) break;
    const auto here = book.sql().text("SELECT hash FROM entry WHERE number = ?", number);
    if (!here && known.is_lost(number)) {
      ++lost;
      continue;
    }
    if (here != hash) return Difference{number, !here && number > book.entry_count()};
  }
  return {};
}

Against compared(const Book& book, const Verdict& verdict, const Earlier& earlier,
                 const std::string& name) {
  Against out;
  if (!earlier.id.empty() && earlier.id != book.id()) {
    out.another_book = true;
    out.said = fmt::format("{} is of another book: their ids differ.", name);
    return out;
  }
  const std::int64_t last = earlier.hashes.empty() ? 0 : earlier.hashes.rbegin()->first;
  std::int64_t lost = 0;
  const auto differs = first_difference(book, earlier, rescues(book.sql()), lost);
  if (differs && differs->gone) {
    out.differs_from = differs->at;
    out.said = fmt::format(
        "{} holds {}, which this book does not: cut off here, or written after this book was "
        "copied.",
        name, lower_ascii(gap_words({differs->at, last, {}})));
    return out;
  }
  if (differs) {
    out.differs_from = differs->at;
    out.said = differs->at == 1
                   ? fmt::format("{} and this book differ from the first entry on.", name)
                   : fmt::format(
                         "{} and this book are the same up to entry {} and differ from "
                         "entry {} on: one of them was written anew from there.",
                         name, differs->at - 1, differs->at);
    return out;
  }
  if (earlier.broken_at) {
    out.contained_to = earlier.broken_at - 1;
    out.said = fmt::format(
        "{} does not follow from itself from its entry {} on: it was altered, and shows nothing "
        "from there on.{}",
        name, earlier.broken_at,
        earlier.broken_at > 1 ? fmt::format(" Before that, this book holds what it holds, {}.",
                                            entries_up_to(earlier.broken_at - 1))
                              : "");
    return out;
  }
  out.contained_to = last;
  if (last > verdict.trusted_to) {
    out.said = fmt::format(
        "The hashes of {} stand in this book up to entry {}, but from entry {} on its chain cannot "
        "be trusted, so that they show nothing from there on.",
        name, last, verdict.trusted_to + 1);
    return out;
  }
  out.fits = true;
  out.said = fmt::format("This book holds all that {} holds, {}, unaltered.{}{}", name,
                         entries_up_to(last),
                         lost ? fmt::format(" {} of them {} lost here, as a rescue noted: {} still "
                                            "holds what they said.",
                                            lost, lost == 1 ? "is" : "are", name)
                              : "",
                         earlier.cut ? " (The file was cut: it has no trailer.)" : "");
  return out;
}

}  // namespace

std::optional<std::string> typed_hash(std::string_view typed) {
  std::string out;
  for (const char c : lower_ascii(typed)) {
    if (c == ' ' || c == '\t' || c == '-' || c == '\n') continue;
    if (!(c >= '0' && c <= '9') && !(c >= 'a' && c <= 'f')) return {};
    out += c;
  }
  return out.size() < shortest_hash || out.size() > 64 ? std::nullopt : std::optional(out);
}

Against against_hash(const Book& book, const Verdict& verdict, const std::string& hash) {
  std::vector<std::int64_t> numbers;
  book.sql().each(
      "SELECT number FROM entry WHERE substr(hash, 1, ?) = ? ORDER BY number",
      [&](const Row& row) { numbers.push_back(row.number(0)); },
      static_cast<std::int64_t>(hash.size()), hash);
  if (numbers.size() > 1)
    throw Error::request(fmt::format("{} entries have hashes that begin with {}: give more of it.",
                                     numbers.size(), hash));
  Against out;
  if (numbers.empty()) {
    for (const auto& [first, gap] : rescues(book.sql()).gaps)
      if (!gap.hash.empty() && gap.hash.starts_with(hash)) {
        out.said = fmt::format("That is the hash of entry {}, which is lost here.", gap.last);
        return out;
      }
    out.said =
        "No entry of this book has that hash: entries were altered or cut off after it was noted, "
        "or it is of another book.";
    return out;
  }
  out.contained_to = numbers.front();
  if (numbers.front() > verdict.trusted_to) {
    out.said = fmt::format(
        "Entry {} has that hash, but from entry {} on the chain cannot be trusted, so that it "
        "shows nothing.",
        numbers.front(), verdict.trusted_to + 1);
    return out;
  }
  out.fits = true;
  out.said = numbers.front() == 1
                 ? "Entry 1 has that hash: it is as it was then."
                 : fmt::format("Entry {} has that hash: entries 1 to {} are as they were then.",
                               numbers.front(), numbers.front());
  return out;
}

Against against_file(const Book& book, const Verdict& verdict, const std::filesystem::path& file) {
  const std::string name = file.string();
  if (std::error_code ignored; !std::filesystem::is_regular_file(file, ignored))
    throw Error::book(fmt::format("{} is not an ordinary file, so it is not read.", name));
  std::ifstream in(file, std::ios::binary);
  if (!in) throw Error::book(fmt::format("{} cannot be read.", name));
  std::string magic(16, '\0');
  in.read(magic.data(), 16);
  if (magic == std::string_view("SQLite format 3\0", 16))
    return compared(book, verdict, read_backup(file), name);
  in.clear();
  in.seekg(0);
  return compared(book, verdict, read_export(in, name), name);
}

}  // namespace trencher::book
