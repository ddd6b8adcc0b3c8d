#include "commands/export_csv.h"

#include <fmt/format.h>

#include <array>
#include <list>
#include <map>

#include "commands/people.h"
#include "commands/sheet_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

using Columns = std::vector<PlainColumn>;

const Columns journal_columns{{"number", "from 1"},
                              {"happened_at", "when it happened, UTC"},
                              {"happened_offset_min", "local time minus UTC then"},
                              {"written_at", "when it was written, UTC"},
                              {"written_by", "number of the worker"},
                              {"kind", "kind of the entry"},
                              {"kind_version", "version of its body"},
                              {"body", "what it says, as JSON"},
                              {"hash", "of this entry and the one before"}};
const Columns person_columns{{"person", "id"},
                             {"name", "name"},
                             {"contact", "how to reach them"},
                             {"salt", "with which the seal is reckoned"}};
const Columns paper_columns{{"sha256", "SHA-256 of its bytes"},
                            {"bytes", "how many; 'export --papers' writes the files"}};
const Columns piece_columns{
    {"piece", "code of the board"},
    {"batch", "its batch"},
    {"number", "in the batch"},
    {"use", "what it is for"},
    {"length_mm", "of the board"},
    {"width_mm", "of the board"},
    {"thickness_mm", "of the board"},
    {"wood", "wood lots of its batch"},
    {"finish", "tins that were planned for it; steps.csv has what was put on"},
    {"finish_names", "names of those tins"},
    {"standing", "here, left or scrapped"},
    {"signed_off_entry", "the sign-off in force"},
    {"signed_off", "when"},
    {"left_entry", "the gift or sale by which it left"},
    {"left", "when"},
    {"how", "gift, sale or private-gift"},
    {"to", "to whom"},
    {"market", "where it went"},
    {"event", "where it left"},
    {"scrapped_entry", "by which it came to nothing"},
    {"own_way_entry", "by which it went another way than its batch"}};

struct PlainSheet {
  std::string_view file, says;
  const Columns& columns;
};
const std::array plain_sheets{
    PlainSheet{"pieces.csv", "every board as it stands now", piece_columns},
    PlainSheet{"people.csv", "people of the vault; who was forgotten is not there", person_columns},
    PlainSheet{"papers.csv", "papers and pictures that the book keeps", paper_columns},
    PlainSheet{"journal.csv", "the book itself: every entry as it was written", journal_columns}};

void write_journal_row(const book::Entry& entry, SheetFile& file) {
  file.row()
      .number(entry.number)
      .text(iso(entry.happened.at))
      .number(entry.happened.offset_minutes);
  file.row().text(iso(entry.written_at)).number(entry.written_by).text(entry.kind);
  file.row().number(entry.kind_version).json(entry.body).text(entry.hash);
  file.end_row();
}

// The pieces of one batch, each entry that they share read once.
class PieceRows {
 public:
  PieceRows(Call& call, SheetFile& file) : call_(call), file_(file) {}

  void write(const std::string& code) {
    known_.clear();
    const std::optional<Batch> batch = book::find_batch(call_.book(), code);
    for (const book::PieceState& piece : book::pieces_of(call_.book(), code)) write(batch, piece);
  }

 private:
  using Number = std::optional<std::int64_t>;

  const book::Effective* entry(const Number& number) {
    if (!number) return nullptr;
    auto [at, added] = known_.try_emplace(*number);
    if (added) at->second = book::effective_entry(call_.book(), *number);
    return at->second ? &*at->second : nullptr;
  }

  void write(const std::optional<Batch>& batch, const book::PieceState& piece) {
    exchange::SheetRow& row = file_.row();
    row.text(piece.code).text(piece.batch).number(piece.number);
    std::vector<std::string> finish;
    if (batch) {
      finish = batch->finish;
      row.text(batch->use).scaled(batch->size.length.um, 3).scaled(batch->size.width.um, 3);
      row.scaled(batch->size.thickness.um, 3).text(join(batch->wood, " "));
    } else {
      row.text(book::lost_words).blank().blank().blank().blank();
    }
    if (const book::Effective* turn = entry(piece.turn))
      if (turn->body.find("schedule")) finish = turn->body.texts("finish");
    std::vector<std::string> names;
    for (const std::string& id : finish)
      if (const auto tin = book::find_tin_unopened(call_.book(), id)) names.push_back(tin->name);
    row.text(join(finish, " ")).text(join(names, ", "));
    row.text(piece.here() ? "here" : piece.given ? "left" : "scrapped");
    write_moment(piece.signed_off);
    write_moment(piece.given);
    if (const book::Effective* gift = entry(piece.given)) {
      const Gift given = Gift::read(gift->body);
      row.text(given.as).text(recipient_name(call_.book(), given)).text(given.market);
      row.text(given.event);
    } else {
      row.blank().blank().blank().blank();
    }
    write_number(piece.scrapped);
    write_number(piece.turn);
    file_.end_row();
  }

  void write_number(const Number& number) {
    if (number)
      file_.row().number(*number);
    else
      file_.row().blank();
  }

  void write_moment(const Number& number) {
    write_number(number);
    if (const book::Effective* of = entry(number))
      file_.row().text(iso(of->happened));
    else
      file_.row().blank();
  }

  Call& call_;
  SheetFile& file_;
  std::map<std::int64_t, std::optional<book::Effective>> known_;
};

// The sheets while they are written: one for each in the table, those of no kind of entry behind.
class Sheets {
 public:
  Sheets(Call& call, const std::filesystem::path& folder) : call_(call) {
    for (const EntrySheet& sheet : sheets()) {
      SheetFile& file = files_.emplace_back(folder, sheet.file);
      write_head(sheet, file);
      for (const std::string_view kind : sheet.kinds) of_kind_[kind] = {&sheet, &file};
    }
    for (const PlainSheet& sheet : plain_sheets) {
      SheetFile& file = files_.emplace_back(folder, sheet.file);
      for (const PlainColumn& column : sheet.columns) file.row().text(column.name);
      file.end_row();
      plain_[sheet.file] = &file;
    }
  }

  void write() {
    Progress progress = call_.progress("writing the sheets");
    const auto entries = static_cast<std::uint64_t>(call_.book().entry_count());
    progress.stretch(0, 0.8);
    book::each_effective(call_.book(), [&](const book::Effective& of) {
      const auto found = of_kind_.find(of.entry.kind);
      if (found == of_kind_.end())
        throw Error::book(
            fmt::format("Entry {} is of the kind '{}', which this program does not "
                        "know.",
                        of.entry.number, of.entry.kind));
      write_entry(call_, *found->second.first, of, *found->second.second);
      write_journal_row(of.entry, *plain_.at("journal.csv"));
      progress.at(static_cast<std::uint64_t>(of.entry.number), entries);
    });
    progress.stretch(0.8, 1);
    PieceRows pieces(call_, *plain_.at("pieces.csv"));
    const std::vector<std::string> batches = book::ids_of_class(call_.book(), "batch");
    for (std::size_t i = 0; i < batches.size(); ++i) {
      pieces.write(batches[i]);
      progress.at(i + 1, batches.size());
    }
    SheetFile& people = *plain_.at("people.csv");
    call_.book().each_person([&](const book::Person& person) {
      people.row().text(person.id).text(person.name).text(person.contact).text(person.salt);
      people.end_row();
    });
    SheetFile& papers = *plain_.at("papers.csv");
    call_.book().each_file([&](std::string_view sha256, std::string_view bytes) {
      papers.row().text(sha256).number(static_cast<std::int64_t>(bytes.size()));
      papers.end_row();
    });
  }

  std::vector<WrittenSheet> finish() {
    std::vector<WrittenSheet> out;
    for (SheetFile& file : files_) {
      file.finish();
      out.push_back({file.name(), file.rows()});
    }
    return out;
  }

 private:
  Call& call_;
  std::list<SheetFile> files_;
  std::map<std::string_view, std::pair<const EntrySheet*, SheetFile*>> of_kind_;
  std::map<std::string_view, SheetFile*> plain_;
};

constexpr const char* how_to_read =
    "Every file but this one is a table: UTF-8, cells separated by commas, lines ended by CR LF, "
    "quotes as RFC 4180 has them, the names of the columns in the first line. Open them with the "
    "comma as the separator, the point as the decimal sign, and codes (26-014) as text.\n"
    "Figures are metric: _c degrees Celsius, _pct per cent, _ml millilitres, _g grams, _mm "
    "millimetres, _s seconds, _min minutes. Times are the workshop's, with the offset from UTC "
    "that held then; those that are UTC say so.\n"
    "A cell that a spreadsheet program would take for a formula has a ' before it, as has what "
    "stands behind a semicolon in it. Numbers have none. In cells that hold JSON a semicolon "
    "stands as \\u003b, so that reading them as JSON gives exactly what the book holds.\n"
    "An entry that was corrected stands as corrected, and 'standing' says so; a struck one counts "
    "no more. journal.csv holds both as they were written.\n"
    "A blank cell means that the book says nothing there; never read it as none.\n"
    "THESE FILES HOLD NAMES AND CONTACTS. They keep what the book forgets later. Put them where "
    "strangers cannot read them.";

std::string readme(Call& call, const std::vector<WrittenSheet>& written) {
  constexpr std::size_t width = 80;
  std::string out = "The whole book as tables.\n\n";
  out +=
      fmt::format("Book {}\nLast entry {}, hash {}\nWorkshop: {}\n", call.book().id(),
                  call.book().entry_count(), call.book().last_hash(), shown(call.settings().maker));
  const auto paragraph = [&](std::string_view text, const std::string& indent) {
    for (const std::string& line : wrap(text, width - indent.size())) out += indent + line + "\n";
  };
  for (const std::string& part : split(how_to_read, '\n')) {
    out += '\n';
    paragraph(part, "");
  }
  auto rows = written.begin();
  const auto sheet = [&](std::string_view file, std::string_view says) {
    out += fmt::format("\n{}  ({})\n", file, count_of((rows++)->rows, "row"));
    paragraph(fmt::format("{}.", says), "  ");
  };
  const auto column = [&](const auto& of) {
    paragraph(fmt::format("{}: {}", of.name, of.says), "    ");
  };
  for (const EntrySheet& of : sheets()) {
    sheet(of.file, of.says);
    for (const SheetColumn& own : of.columns) column(own);
  }
  for (const PlainSheet& of : plain_sheets) {
    sheet(of.file, of.says);
    for (const PlainColumn& own : of.columns) column(own);
  }
  out += "\nBefore and behind these columns all but the last four files have:\n";
  for (const PlainColumn& own : columns_before({.kinds = {"one", "another"}})) column(own);
  for (const PlainColumn& own : columns_behind()) column(own);
  return out;
}

}  // namespace

std::vector<WrittenSheet> write_sheets(Call& call, NewFolder& folder) {
  Sheets all(call, folder.staged());
  all.write();
  std::vector<WrittenSheet> written = all.finish();
  write_file_whole(folder.staged() / "readme.txt", readme(call, written));
  folder.finish();
  return written;
}

}  // namespace trencher::commands
