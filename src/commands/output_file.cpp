#include "commands/output_file.h"

#include <fmt/format.h>

#include <fstream>

#include "domain/error.h"
#include "domain/text.h"
#include "exchange/icalendar.h"

namespace trencher::commands {

namespace {

// What is there already must begin with `head`.
std::filesystem::path need_path(Call& call, std::string& typed, const std::string& question,
                                std::string_view head, const std::string& kind) {
  call.need(typed, "-o", question);
  std::filesystem::path path = checked_text(typed, "-o");
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) return path;
  if (std::filesystem::equivalent(path, call.book_path(), ignored))
    throw Error::request(
        fmt::format("-o '{}' is the book itself; name another file.", path.string()));
  std::string there(head.size(), '\0');
  std::ifstream(path, std::ios::binary)
      .read(there.data(), static_cast<std::streamsize>(there.size()));
  if (there != head)
    throw Error::request(
        fmt::format("-o '{}' exists and is no {}, so it is not replaced; name another file.",
                    path.string(), kind));
  return path;
}

}  // namespace

std::filesystem::path need_pdf_path(Call& call, std::string& typed) {
  return need_path(call, typed, "File for the PDF", "%PDF-", "PDF");
}

std::filesystem::path need_csv_path(Call& call, std::string& typed, const std::string& head) {
  return need_path(call, typed, "File for the table", head, "table of this kind");
}

std::filesystem::path need_calendar_path(Call& call, std::string& typed) {
  return need_path(call, typed, "File for the calendar, as boards.ics", exchange::icalendar_head,
                   "calendar of this program");
}

PaperOfEntry::~PaperOfEntry() {
  std::error_code ignored;
  if (!path_.empty()) std::filesystem::remove(path_, ignored);
}

PapersOfEntry::~PapersOfEntry() {
  std::error_code ignored;
  for (const std::filesystem::path& path : appeared_) std::filesystem::remove(path, ignored);
}

void PapersOfEntry::add(const std::filesystem::path& path, std::string_view bytes) {
  waiting_.emplace_back(replaced_by(path)).write(bytes);
  paths_.push_back(path.string());
}

void PapersOfEntry::appear() {
  for (const std::string& path : paths_) {
    waiting_.front().finish_replacing();
    appeared_.emplace_back(path);
    waiting_.pop_front();
  }
}

std::filesystem::path numbered_path(const std::filesystem::path& path, std::size_t file,
                                    std::size_t files) {
  if (file == 0) return path;
  const std::size_t figures = std::to_string(files).size();
  std::filesystem::path out = path;
  out.replace_filename(fmt::format("{}-{:0{}}{}", path.stem().string(), file + 1, figures,
                                   path.extension().string()));
  return out;
}

void refuse_there(const std::filesystem::path& file) {
  std::error_code ignored;
  if (std::filesystem::exists(std::filesystem::symlink_status(file, ignored)))
    throw Error::request(
        fmt::format("{} exists already and is not replaced; name another file.", file.string()));
}

void refuse_existing(Call& call, const std::filesystem::path& file, bool replace) {
  std::error_code why;
  const std::filesystem::file_status there = std::filesystem::symlink_status(file, why);
  if (!std::filesystem::exists(there)) return;
  if (!replace)
    throw Error::request(
        fmt::format("{} exists already; --replace writes over it.", file.string()));
  if (!std::filesystem::is_regular_file(there))
    throw Error::request(fmt::format(
        "{} is not an ordinary file, so it is not replaced; name another file.", file.string()));
  if (std::filesystem::equivalent(file, call.book_path(), why))
    throw Error::request(fmt::format("{} is the book itself; name another file.", file.string()));
}

}  // namespace trencher::commands
