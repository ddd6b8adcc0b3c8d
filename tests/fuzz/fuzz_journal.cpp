// Import of an export: refused with nothing left, or a book that is whole, says what the export
// says, and is exported and imported again as the same. Half of the mutations mend the hashes and
// the trailer, so that what lies behind the check of the chain is reached.
#include <array>

#include "book.h"
#include "book/transfer.h"
#include "journal.h"

using namespace trencher;

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);

namespace {

std::string changed(const std::string& text) {
  std::vector<std::uint8_t> bytes(text.begin(), text.end());
  bytes.resize(text.size() * 2 + 16);
  bytes.resize(LLVMFuzzerMutate(bytes.data(), text.size(), bytes.size()));
  return {bytes.begin(), bytes.end()};
}

std::size_t given(const std::string& text, std::uint8_t* data, std::size_t most) {
  if (text.size() > most) return 0;
  std::copy(text.begin(), text.end(), data);
  return text.size();
}

std::string exported(const book::Book& book) {
  std::string out;
  book::export_lines(book, [&](std::string_view line) { out.append(line) += '\n'; });
  return out;
}

// Line by line and in order, each entry says what the import was given.
void see_entries(std::string_view in, const book::Book& book) {
  std::int64_t number = 0;
  while (!in.empty()) {
    const auto end = std::min(in.find('\n'), in.size());
    const Json line = Json::parse(in.substr(0, end));
    in.remove_prefix(std::min(end + 1, in.size()));
    if (line.find("person") || line.find("file") || line.find("trailer")) continue;
    const auto entry = book.entry(++number);
    fuzz::demand(entry && entry->hash == line.text("hash") && entry->body == line.text("body") &&
                     entry->kind == line.text("kind") &&
                     iso(entry->happened.at) == line.text("happened_at"),
                 "an entry is kept as it was given", line.text());
  }
  fuzz::demand(number == book.entry_count(), "each entry is there");
}

// Whoever made the export, what asks the book must end in an answer or a sentence.
void ask(std::string_view text) {
  static const std::array<std::vector<std::string>, 8> questions{
      {{"due", "--json"},
       {"when", "26-001", "--explain"},
       {"findings", "26-001", "--market", "uk"},
       {"people"},
       {"trace", "26-001"},
       {"answer", "26-001", "--about", "contents"},
       {"calendar", "-o", "c.ics"},
       {"batch"}}};
  try {
    fuzz::run(questions[text.size() % questions.size()], fuzz::present);
  } catch (const std::exception&) {  // of a body that says senseless things: status 3
  }
}

}  // namespace

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size,
                                               std::size_t most, unsigned seed) {
  std::mt19937 random(seed);
  fuzz::Journal journal(fuzz::text_of(data, size));
  if (journal.empty() || random() % 8 == 0) return LLVMFuzzerMutate(data, size, most);
  for (std::size_t i = random() % 3 + 1; i > 0; --i) journal.change(random, changed);
  const std::size_t out = given(journal.text(), data, most);
  return out ? out : LLVMFuzzerMutate(data, size, most);
}

extern "C" std::size_t LLVMFuzzerCustomCrossOver(const std::uint8_t* a, std::size_t a_size,
                                                 const std::uint8_t* b, std::size_t b_size,
                                                 std::uint8_t* out, std::size_t most,
                                                 unsigned seed) {
  std::mt19937 random(seed);
  fuzz::Journal journal(fuzz::text_of(a, a_size));
  const fuzz::Journal other(fuzz::text_of(b, b_size));
  if (journal.empty() || other.empty())
    return given(std::string(fuzz::text_of(a, a_size)), out, most);
  journal.go_on_as(other, random);
  return given(journal.text(), out, most);
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::Scratch scratch;
  static const auto here = std::filesystem::current_path();
  const auto in = scratch.path() / "in.jsonl", out = scratch.path() / "book.db",
             again = scratch.path() / "again.db";
  const std::string_view text = fuzz::text_of(data, size);
  fuzz::put(in, text);
  if (!fuzz::accepted([&] { return book::import_lines(in, out); })) {
    fuzz::demand(scratch.names().size() == 1, "a refused import leaves nothing");
    return 0;
  }
  std::string first;
  {
    book::Book book = book::Book::open(out);
    see_entries(text, book);
    first = exported(book);
  }
  // Which ends with a look whether the book is whole.
  fuzz::put(in, first);
  book::import_lines(in, again);
  fuzz::demand(exported(book::Book::open(again)) == first, "an export is imported as the same");
  std::filesystem::current_path(scratch.path());
  ask(text);
  std::filesystem::current_path(here);
  for (const std::string& name : scratch.names()) std::filesystem::remove(scratch.path() / name);
  return 0;
}
