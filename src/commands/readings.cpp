#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/input_file.h"
#include "commands/logger_file.h"
#include "commands/logger_time.h"
#include "commands/shop.h"
#include "commands/unchanged.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t most_megabytes = 64;  // a reading a minute for two years
constexpr std::size_t most_samples = 4096;  // in one entry

// What the book holds for the same moment.
struct Compared {
  std::vector<Reading> fresh;  // to be written
  std::int64_t known = 0;      // there with the same value
  std::int64_t replaced = 0;   // there with another; the later entry counts
};

void check_offset(const std::string& typed) {
  const auto time = read_written_time("2026-01-01 00:00" + typed);
  if (!time || time->offset.empty())
    throw Error::request(
        fmt::format("--clock '{}' is no offset; write it as +01:00, -05:00 or Z.", typed));
}

Compared compare(const book::Book& book, const std::string& place, std::vector<Reading> samples) {
  std::map<Instant, Reading> there;
  for (const Reading& old : book::readings_at(book, place, samples.front().at, samples.back().at))
    there[old.at] = old;
  Compared out;
  for (Reading& sample : samples) {
    const auto old = there.find(sample.at);
    if (old != there.end() && old->second.temp == sample.temp && old->second.rh == sample.rh) {
      ++out.known;
      continue;
    }
    if (old != there.end()) ++out.replaced;
    out.fresh.push_back(std::move(sample));
  }
  return out;
}

std::string span_text(Call& call, const std::vector<Reading>& samples) {
  const std::string first = call.show_time(samples.front().at);
  const std::string last = call.show_time(samples.back().at);
  return first == last ? first : fmt::format("{} to {}", first, last);
}

}  // namespace

int readings(Call& call) {
  std::string path, place_name, skip;
  LoggerShape shape;
  call.word("FILE", path, "the logger's file of time, temperature and perhaps humidity");
  call.option("--place", "NAME", place_name, "where the logger stood; not needed with one place");
  call.option("--unit", "C|F", shape.unit, "of the temperatures, where the file does not say");
  call.list("--columns", "WHAT=COLUMN", shape.columns,
            "which column is which, by name or number: time=, date=, temp=, rh=");
  call.option("--dates", "ORDER", shape.dates,
              "day-first or month-first, where the file leaves it open");
  call.option("--clock", "OFFSET", shape.clock,
              "of a logger whose clock does not change with the zone's, as +01:00");
  call.option("--skip", "N", skip, "lines before the line that names the columns");
  call.parse();
  call.need(path, "FILE", "The logger's file");
  if (!shape.unit.empty()) Call::check_known(shape.unit, "Unit", {"C", "F"});
  if (!shape.dates.empty()) Call::check_known(shape.dates, "Order", {"day-first", "month-first"});
  if (!shape.clock.empty()) check_offset(shape.clock);
  if (!skip.empty()) shape.skip = static_cast<int>(parse_count(skip, "--skip", 0, 1000));
  const Place place = need_place(call, place_name, "Where the logger stood");
  const InputFile file = read_input(path, most_megabytes);
  const std::vector<Reading> samples =
      read_logger_file(file.bytes, file.name, shape, call.zone(), call.now() + clock_slack);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Compared compared = compare(call.book(), place.id, samples);
  if (compared.fresh.empty())
    return unchanged(
        call, place.id,
        fmt::format("The book holds all of {} for the place '{}' already ({}); nothing was "
                    "written.",
                    file.name, place.id, span_text(call, samples)));
  Reach reach(call, book::batches_at(call.book(), place.id));
  Json entries;
  std::int64_t first = 0, last = 0;
  reach.append(call, writing, [&](const Json& affected) {
    entries = Json::array();
    first = 0;
    for (std::size_t from = 0; from < compared.fresh.size(); from += most_samples) {
      const std::size_t to = std::min(from + most_samples, compared.fresh.size());
      Readings part{place.id,
                    {compared.fresh.begin() + static_cast<std::ptrdiff_t>(from),
                     compared.fresh.begin() + static_cast<std::ptrdiff_t>(to)},
                    file.name};
      Json body = part.body();
      call.annotate(body);
      if (to == compared.fresh.size()) body.set("affected", affected);
      last = writing.append("readings", body, stamp);
      if (first == 0) first = last;
      entries.push(last);
    }
  });
  const std::vector<engine::Finding>& found = reach.passed_by();
  writing.commit();
  const auto count = static_cast<std::int64_t>(compared.fresh.size());
  std::string said = fmt::format(
      "{} for the place '{}', {}; {}.", count_of(count, "reading"), place.id,
      span_text(call, compared.fresh),
      first == last ? fmt::format("entry {}", last) : fmt::format("entries {} to {}", first, last));
  if (compared.known)
    said += fmt::format(" {} there already.", count_of(compared.known, "was", "were"));
  if (compared.replaced)
    said += fmt::format(" {} of another value for the same moment: the new one counts.",
                        count_of(compared.replaced, "takes the place", "take the place"));
  Json more = Json::object();
  more.set("entries", std::move(entries)).set("samples", count).set("known", compared.known);
  more.set("replaced", compared.replaced);
  const int status = call.wrote(last, place.id, found, said, std::move(more));
  if (!call.json()) reach.say(call, last);
  return status;
}

}  // namespace trencher::commands
