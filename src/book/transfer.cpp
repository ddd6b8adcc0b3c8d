#include "book/transfer.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>

#include "book/chain.h"
#include "book/entry_line.h"
#include "book/put_entry.h"
#include "book/sql.h"
#include "book/verify.h"
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

// What the export's own `rescued` entries say of gaps: needed before the entries behind them.
Rescues read_rescues(std::ifstream& in) {
  Rescues out;
  for (std::string line; std::getline(in, line);) {
    if (line.find("\"kind\":\"rescued\"") == std::string::npos) continue;
    try {
      const Entry entry = entry_from_line(Json::parse(line));
      if (entry.kind == rescued_kind) out.take(entry.number, Rescued::read(parse_body(entry.body)));
    } catch (const Error&) {
      // Told of when its turn comes.
    }
  }
  in.clear();
  in.seekg(0);
  return out;
}

// The lines of an export, one after another, into a new book.
class Intake {
 public:
  Intake(Book& book, Rescues rescues, const std::string& name)
      : book_(book),
        writing_(book),
        chain_(first_previous_hash(book.id()), std::move(rescues)),
        name_(name) {}

  std::int64_t take(std::ifstream& in, const Json& trailer) {
    if (chain_.rescues().gaps.empty())
      lines(in);
    else
      allowing_gaps(book_.sql(), [&] { lines(in); });
    if (entries_ != trailer.integer("entries") || persons_ != trailer.integer("persons") ||
        files_ != trailer.integer("files") || book_.last_hash() != trailer.text("last_hash"))
      throw Error::book(fmt::format(
          "{} does not hold what its trailer says: it was altered. Nothing was imported.", name_));
    writing_.rebuild_state();
    writing_.commit();
    return entries_;
  }

 private:
  void lines(std::ifstream& in) {
    std::int64_t number = 0;
    for (std::string text; std::getline(in, text);) {
      ++number;
      try {
        line(Json::parse(text));
      } catch (const Error& failure) {
        throw Error::book(
            fmt::format("{} line {}: {} Nothing was imported.", name_, number, failure.what()));
      }
    }
  }

  void line(const Json& json) {
    if (ended_) throw Error::book("There is more after the trailer.");
    if (const Json* person = json.find("person")) {
      writing_.keep({person->text("id"), person->text("salt"), person->text("name"),
                     person->text("contact")});
      ++persons_;
    } else if (const Json* file = json.find("file")) {
      if (writing_.keep_file(from_base64(file->text("base64"))) != file->text("sha256"))
        throw Error::book("The file does not fit its SHA-256.");
      ++files_;
    } else if (json.find("trailer")) {
      ended_ = true;
    } else {
      const Entry entry = entry_from_line(json);
      if (chain_.next(entry))
        throw Error::book(fmt::format(
            "Entry {} does not follow from the entry before it: it was altered or is out of order.",
            entry.number));
      put_entry(book_.sql(), entry);
      ++entries_;
    }
  }

  Book& book_;
  Writing writing_;
  Chain chain_;
  const std::string& name_;
  std::int64_t entries_ = 0, persons_ = 0, files_ = 0;
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

std::int64_t import_lines(const std::filesystem::path& exported,
                          const std::filesystem::path& path) {
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
        Intake intake(book, read_rescues(in), name);
        entries = intake.take(in, trailer);
        const Verdict verdict = verify(book);
        if (!verdict.whole())
          throw Error::book(
              fmt::format("{}: {} Nothing was imported.", name, verdict.problems.front()));
      },
      trailer.text("book"));
  return entries;
}

void vacuum(Book& book) {
  book.let_go();
  book.sql().script("VACUUM");
  flush_folder_of(book.path());
}

void backup(Book& book, const std::filesystem::path& target) {
  std::error_code why;
  if (std::filesystem::exists(target, why))
    throw Error::book(
        fmt::format("{} exists already; a backup never replaces a file.", target.string()));
  book.let_go();  // the copy holds the book still by itself
  appear_whole(target, [&](const std::filesystem::path& draft) {
    Sql::create(draft);  // mode 0600 before anything is in it
    book.sql().copy_into(draft);
  });
}

}  // namespace trencher::book
