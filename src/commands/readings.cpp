#include <fmt/format.h>

#include "book/queries.h"
#include "book/staged_readings.h"
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

constexpr std::size_t most_megabytes = 2000;  // a reading a second for well over a year
constexpr std::size_t most_samples = 4096;    // in one entry

void check_offset(const std::string& typed) {
  const auto time = read_written_time("2026-01-01 00:00" + typed);
  if (!time || time->offset.empty())
    throw Error::request(
        fmt::format("--clock '{}' is no offset; write it as +01:00, -05:00 or Z.", typed));
}

std::string span_text(Call& call, const book::StagedReadings::Span& span) {
  const std::string first = call.show_time(span.first), last = call.show_time(span.last);
  return first == last ? first : fmt::format("{} to {}", first, last);
}

// One file on its way into the book, of which no more than a part is ever held.
class Import {
 public:
  Import(Call& call, const std::string& path)
      : call_(call),
        file_(path, most_megabytes),
        progress_(call.progress("reading " + file_.name())),
        staged_(call.book()) {}

  const std::string& name() const { return file_.name(); }
  book::StagedReadings::Span span() const { return *staged_.span(); }
  // To be called before anything is printed.
  void wipe_progress() { progress_.wipe(); }

  // Checks all of the file and puts its samples in order of time.
  void read(const LoggerShape& shape) {
    int passes = 0;
    const auto text = [&](const std::function<void(std::string_view)>& use) {
      if (++passes == 1)
        progress_.stretch(0, 0.1);
      else
        progress_.stretch(0.1, 0.65);
      std::uint64_t done = 0;
      file_.each_part([&](std::string_view part) {
        use(part);
        progress_.at(done += part.size(), file_.size());
      });
    };
    const auto take = [&](const Reading& sample, std::int64_t line) {
      if (const auto other = staged_.add(sample, line))
        throw Error::request(
            fmt::format("{}, lines {} and {}: two different values for one moment, {}.", name(),
                        *other, line, call_.show_time(sample.at)));
    };
    read_logger_file(text, name(), shape, call_.zone(), call_.now() + clock_slack, take);
  }

  book::StagedReadings::Compared compare(const std::string& place) {
    progress_.stretch(0.65, 0.8);
    return staged_.compare(place,
                           [&](std::uint64_t done, std::uint64_t of) { progress_.at(done, of); });
  }

  // Writes what is fresh, and returns the numbers of its entries.
  std::vector<std::int64_t> write(const std::string& place, std::int64_t fresh,
                                  book::Writing& writing, Reach& reach, const book::Stamp& stamp) {
    progress_.stretch(0.8, 1);
    std::vector<std::int64_t> entries;
    Readings part{place, {}, name()};
    const auto body = [&] {
      Json out = part.body();
      call_.annotate(out);
      part.samples.clear();
      return out;
    };
    staged_.each_fresh([&](const Reading& sample) {
      if (part.samples.size() == most_samples) {
        entries.push_back(writing.append("readings", body(), stamp));
        progress_.at(entries.size() * most_samples, static_cast<std::uint64_t>(fresh));
      }
      part.samples.push_back(sample);
    });
    entries.push_back(reach.append(call_, writing, "readings", body(), stamp));
    return entries;
  }

 private:
  Call& call_;
  PartedFile file_;
  Progress progress_;
  book::StagedReadings staged_;
};

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
  const book::Stamp stamp = call.stamp();
  Import import(call, path);
  call.book().let_go();  // a long file is long in reading
  import.read(shape);
  book::Writing writing(call.book());
  const auto compared = import.compare(place.id);
  if (compared.fresh == 0) {
    import.wipe_progress();
    return unchanged(
        call, place.id,
        fmt::format("The book holds all of {} for the place '{}' already ({}); nothing was "
                    "written.",
                    import.name(), place.id, span_text(call, import.span())));
  }
  Reach reach(call, book::batches_at(call.book(), place.id));
  const std::vector<std::int64_t> entries =
      import.write(place.id, compared.fresh, writing, reach, stamp);
  writing.commit();
  import.wipe_progress();
  const std::int64_t last = entries.back();
  std::string said =
      fmt::format("{} for the place '{}', {}; {}.", count_of(compared.fresh, "reading"), place.id,
                  span_text(call, *compared.fresh_span),
                  entries.size() == 1 ? fmt::format("entry {}", last)
                                      : fmt::format("entries {} to {}", entries.front(), last));
  if (compared.known)
    said += fmt::format(" {} there already.", count_of(compared.known, "was", "were"));
  if (compared.replaced)
    said += fmt::format(" {} of another value for the same moment: the new one counts.",
                        count_of(compared.replaced, "takes the place", "take the place"));
  Json more = Json::object();
  more.set("entries", Json::list(entries)).set("samples", compared.fresh);
  more.set("known", compared.known).set("replaced", compared.replaced);
  const int status = call.wrote(last, place.id, reach.passed_by(), said, more);
  if (!call.json()) reach.say(call, last);
  return status;
}

}  // namespace trencher::commands
