#include "book/transfer.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>

#include "book/sql.h"
#include "book/verify.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

Json line_of(const Entry& entry) {
  Json out = Json::object();
  out.set("number", entry.number).set("happened_at", iso(entry.happened.at));
  out.set("happened_offset", entry.happened.offset_minutes)
      .set("written_at", iso(entry.written_at));
  out.set("written_by", entry.written_by).set("kind", entry.kind);
  return out.set("kind_version", entry.kind_version)
      .set("body", entry.body)
      .set("hash", entry.hash);
}

Entry entry_from(const Json& line) {
  return {line.integer("number"),
          {instant_from_iso(line.text("happened_at")),
           static_cast<int>(line.integer("happened_offset"))},
          instant_from_iso(line.text("written_at")),
          line.integer("written_by"),
          line.text("kind"),
          line.integer("kind_version"),
          line.text("body"),
          line.text("hash")};
}

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

}  // namespace

void export_lines(const Book& book, const std::function<void(std::string_view line)>& write) {
  const Snapshot snapshot(book.sql());
  std::int64_t persons = 0, files = 0;
  book.each_entry([&](const Entry& entry) { write(line_of(entry).text()); });
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
  trailer.set("book", book.id()).set("entries", book.entry_count()).set("persons", persons);
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
        Writing writing(book);
        std::int64_t persons = 0, files = 0, line_number = 0;
        bool ended = false;
        for (std::string line; std::getline(in, line);) {
          ++line_number;
          try {
            if (ended) throw Error::book("There is more after the trailer.");
            const Json json = Json::parse(line);
            if (const Json* person = json.find("person")) {
              writing.keep({person->text("id"), person->text("salt"), person->text("name"),
                            person->text("contact")});
              ++persons;
            } else if (const Json* file = json.find("file")) {
              if (writing.keep_file(from_base64(file->text("base64"))) != file->text("sha256"))
                throw Error::book("The file does not fit its SHA-256.");
              ++files;
            } else if (json.find("trailer")) {
              ended = true;
            } else {
              writing.take_over(entry_from(json));
              ++entries;
            }
          } catch (const Error& failure) {
            throw Error::book(fmt::format("{} line {}: {} Nothing was imported.", name, line_number,
                                          failure.what()));
          }
        }
        if (entries != trailer.integer("entries") || persons != trailer.integer("persons") ||
            files != trailer.integer("files") || book.last_hash() != trailer.text("last_hash"))
          throw Error::book(fmt::format(
              "{} does not hold what its trailer says: it was altered. Nothing was imported.",
              name));
        writing.rebuild_state();
        writing.commit();
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
