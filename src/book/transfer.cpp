#include "book/transfer.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>
#include <deque>
#include <fstream>
#include <optional>
#include <set>
#include <utility>

#include "book/chain.h"
#include "book/entry_line.h"
#include "book/fold.h"
#include "book/line_blocks.h"
#include "book/put_entry.h"
#include "book/read_ahead.h"
#include "book/sql.h"
#include "book/state.h"
#include "book/vault_check.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

// The trailer is read first: it says which book this is, and its absence that the file was cut.
Json read_trailer(std::ifstream& in, const std::string& name) {
  constexpr std::streamoff tail = 4096;
  in.seekg(0, std::ios::end);
  const std::streamoff size = in.tellg();
  in.seekg(std::max<std::streamoff>(0, size - tail));
  std::string text((std::istreambuf_iterator<char>(in)), {});
  in.clear();
  in.seekg(0);
  if (text.ends_with('\n')) {
    text.pop_back();
    const std::string last = text.substr(text.rfind('\n') + 1);
    if (last.starts_with("{\"trailer\":")) return parse_body(last).at("trailer");
  }
  throw Error::book(
      fmt::format("{} does not end with the trailer of an export: it was cut short or is "
                  "no export of Trencher's.",
                  name));
}

// What must be known of an export before its first entry is taken: what its `rescued` entries say
// of gaps, and which entries are corrected or struck later.
struct Ahead {
  Rescues rescues;
  Amendments amendments;
  std::set<std::int64_t> found;  // entries of these kinds
};

// Most lines hold none of the words, and need not be parsed for that.
bool may_be_ahead(std::string_view line) {
  const auto holds = [](std::string_view text, std::string_view word) {
    return ::memmem(text.data(), text.size(), word.data(), word.size()) != nullptr;
  };
  // An export writes the kind near the beginning of the line.
  constexpr std::string_view member = "\"kind\":\"";
  constexpr std::size_t usual_place = 200;
  const auto at = line.substr(0, usual_place).find(member);
  const std::string_view where =
      at == std::string_view::npos ? line : line.substr(at + member.size(), 16);
  return holds(where, "strike") || holds(where, "correction") || holds(where, rescued_kind);
}

Ahead read_ahead(std::ifstream& in) {
  Ahead out;
  const auto line = [&](std::string_view text) {
    if (!may_be_ahead(text)) return;
    try {
      Entry entry = entry_from_line(Json::parse(text));
      if (entry.kind == rescued_kind)
        out.rescues.take(entry.number, Rescued::read(parse_body(entry.body)));
      else if (is_amendment(entry.kind))
        out.amendments.take(entry.number, entry.kind == "strike", std::move(entry.body));
      else
        return;
      out.found.insert(entry.number);
    } catch (const Error&) {
      // Told of when its turn comes.
    }
  };
  LineBlocks blocks(in);
  for (std::string block; blocks.next(block);) each_line(block, line);
  in.clear();
  in.seekg(0);
  return out;
}

// A line of an export, and what can be told of it alone.
struct ExportLine {
  Json json;  // of a person, a file, the trailer
  std::optional<Entry> entry;
  Chain::Hashed hashed;  // behind the line before, where that is in the same part
  ReadBody body;
  std::string failure;  // not empty: it is no line of an export, and why
};

struct Part {
  std::string block;
  std::deque<ExportLine> lines;  // whose places stay
};

void look(Part& part) {
  const Entry* before = nullptr;
  each_line(part.block, [&](std::string_view text) {
    ExportLine& line = part.lines.emplace_back();
    try {
      line.entry = read_entry_line(text);
      if (!line.entry) {
        Json json = Json::parse(text);
        if (!json.find("number")) {
          line.json = std::move(json);
          return;
        }
        line.entry = entry_from_line(json);
      }
      line.body = read_body(*line.entry);
      if (before) line.hashed = {before->hash, entry_hash(before->hash, *line.entry)};
      before = &*line.entry;
    } catch (const Error& failure) {
      line.failure = failure.what();
    }
  });
}

// The lines of an export, one after another, into a new book.
class Intake {
 public:
  Intake(Book& book, Ahead ahead, const std::string& name,
         const std::function<void(std::int64_t, std::int64_t)>& progress)
      : book_(book),
        writing_(book),
        chain_(first_previous_hash(book.id()), ahead.rescues),
        rows_(book.sql(), "main"),
        put_(book.sql()),
        ahead_(std::move(ahead.found)),
        name_(name),
        progress_(progress) {
    // What the import touches again and again is kept at hand.
    book.sql().script("PRAGMA main.cache_size=-65536");
    guarded([&] {
      fold_.emplace(book.sql(), ahead.amendments.all(), std::move(ahead.rescues), rows_.use());
    });
  }

  std::int64_t take(std::ifstream& in, const Json& trailer) {
    to_come_ = trailer.integer("entries");
    // Whether a number is the next is the chain's to say here; the trigger would ask for each
    // again.
    allowing_gaps(book_.sql(), [&] {
      lines(in);
      put_.finish();
    });
    if (entries_ != trailer.integer("entries") || persons_ != trailer.integer("persons") ||
        files_ != trailer.integer("files") || last_hash_ != trailer.text("last_hash"))
      throw Error::book(fmt::format(
          "{} does not hold what its trailer says: it was altered. Nothing was imported.", name_));
    guarded([&] {
      rows_.entries_are_over();
      fold_->finish();
      rows_.finish();
    });
    named_.look(book_, chain_.rescues().persons, chain_.rescues().files, true,
                [&](const std::string& problem) { refuse(problem); });
    writing_.commit();
    return entries_;
  }

 private:
  [[noreturn]] void refuse(const std::string& problem) const {
    throw Error::book(fmt::format("{}: {} Nothing was imported.", name_, problem));
  }

  void guarded(const std::function<void()>& work) const {
    try {
      work();
    } catch (const Error& failure) {
      refuse(failure.what());
    }
  }

  void lines(std::ifstream& in) {
    ReadAhead<Part> ahead(look, [&](Part& part) {
      for (const ExportLine& one : part.lines) {
        ++number_;
        try {
          if (!one.failure.empty()) throw Error::book(one.failure);
          line(one);
        } catch (const Error& failure) {
          throw Error::book(
              fmt::format("{} line {}: {} Nothing was imported.", name_, number_, failure.what()));
        }
      }
    });
    LineBlocks blocks(in);
    for (Part part; blocks.next(part.block); part = ahead.spare()) ahead.push(std::move(part));
    ahead.finish();
  }

  void line(const ExportLine& line) {
    if (ended_) throw Error::book("There is more after the trailer.");
    if (line.entry) {
      entry(line);
    } else if (const Json* person = line.json.find("person")) {
      writing_.keep({person->text("id"), person->text("salt"), person->text("name"),
                     person->text("contact")});
      ++persons_;
    } else if (const Json* file = line.json.find("file")) {
      if (writing_.keep_file(from_base64(file->text("base64"))) != file->text("sha256"))
        throw Error::book("The file does not fit its SHA-256.");
      ++files_;
    } else if (line.json.find("trailer")) {
      ended_ = true;
    } else {
      throw Error::book("It is no line of an export.");
    }
  }

  void entry(const ExportLine& line) {
    const Entry& entry = *line.entry;
    if (chain_.next(entry, line.hashed))
      throw Error::book(fmt::format(
          "Entry {} does not follow from the entry before it: it was altered or is out of order.",
          entry.number));
    if (!line.body.unlike.empty())
      throw Error::book(fmt::format("The body of entry {} is {}.", entry.number, line.body.unlike));
    if (!line.body.unreadable.empty())
      throw Error::book(fmt::format("The body of entry {} cannot be read: {}", entry.number,
                                    line.body.unreadable));
    // Its kind may be spelt so that the first look did not see it.
    if ((is_amendment(entry.kind) || entry.kind == rescued_kind) && !ahead_.contains(entry.number))
      throw Error::book(
          fmt::format("Entry {} is not written as an export writes it.", entry.number));
    put_.put(entry);
    if (is_amendment(entry.kind)) put_.finish();  // what it amends is read
    named_.hear(entry, line.body.body);
    fold_->take(entry, line.body.body, line.body.facts);
    last_hash_ = entry.hash;
    ++entries_;
    if (progress_) progress_(entries_, to_come_);
  }

  Book& book_;
  Writing writing_;
  Chain chain_;
  StateRows rows_;
  std::optional<Fold> fold_;
  PutEntries put_;
  const std::set<std::int64_t> ahead_;
  VaultCheck named_;
  const std::string& name_;
  const std::function<void(std::int64_t, std::int64_t)>& progress_;
  std::string last_hash_ = first_previous_hash(book_.id());
  std::int64_t number_ = 0, entries_ = 0, persons_ = 0, files_ = 0, to_come_ = 0;
  bool ended_ = false;
};

}  // namespace

void export_lines(const Book& book, const std::function<void(std::string_view line)>& write) {
  const Snapshot snapshot(book.sql());
  std::int64_t entries = 0, persons = 0, files = 0;
  book.each_entry([&](const Entry& entry) {
    write(line_of(entry).text());
    ++entries;
  });
  book.each_person([&](const Person& person) {
    Json row = Json::object();
    row.set("id", person.id).set("salt", person.salt).set("name", person.name);
    row.set("contact", person.contact);
    write(Json::object().set("person", std::move(row)).text());
    ++persons;
  });
  book.each_file([&](std::string_view sha256, std::string_view bytes) {
    Json row = Json::object();
    row.set("sha256", sha256).set("base64", to_base64(bytes));
    write(Json::object().set("file", std::move(row)).text());
    ++files;
  });
  Json trailer = Json::object();
  trailer.set("book", book.id()).set("entries", entries).set("persons", persons);
  trailer.set("files", files).set("last_hash", book.last_hash());
  write(Json::object().set("trailer", std::move(trailer)).text());
}

std::int64_t import_lines(const std::filesystem::path& exported, const std::filesystem::path& path,
                          const std::function<void(std::int64_t, std::int64_t)>& progress) {
  const std::string name = exported.string();
  // It is read twice; and opening a pipe would wait for whoever writes to it.
  if (std::error_code ignored; std::filesystem::exists(exported, ignored) &&
                               !std::filesystem::is_regular_file(exported, ignored))
    throw Error::request(fmt::format("{} is not an ordinary file, so it is not read.", name));
  std::ifstream in(exported, std::ios::binary);
  if (!in) throw Error::book(fmt::format("{} cannot be read.", name));
  const Json trailer = read_trailer(in, name);
  std::int64_t entries = 0;
  Book::create(
      path,
      [&](Book& book) {
        Intake intake(book, read_ahead(in), name, progress);
        entries = intake.take(in, trailer);
      },
      trailer.text("book"));
  return entries;
}

void vacuum(Book& book) {
  book.let_go();
  book.sql().script("VACUUM");
  flush_folder_of(book.path());
}

void backup(Book& book, const std::filesystem::path& target,
            const std::function<void(std::int64_t, std::int64_t)>& progress) {
  std::error_code why;
  if (std::filesystem::exists(target, why))
    throw Error::book(
        fmt::format("{} exists already; a backup never replaces a file.", target.string()));
  book.let_go();  // the copy holds the book still by itself
  appear_whole(target, [&](const std::filesystem::path& draft) {
    Sql::create(draft);  // mode 0600 before anything is in it
    book.sql().copy_into(draft, progress);
  });
}

}  // namespace trencher::book
