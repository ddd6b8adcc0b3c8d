#include "book/rescue.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <set>

#include "book/kinds.h"
#include "book/proved.h"
#include "book/put_entry.h"
#include "book/sql.h"
#include "book/verify.h"
#include "domain/code.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

// Where nobody can tell how many entries are lost at the end, ids go on this much higher.
constexpr std::int64_t end_margin = 20;

// A folder beside the new book, for its owner alone, that goes with this object.
class Scratch {
 public:
  explicit Scratch(const std::filesystem::path& beside) {
    std::string name = beside.string() + ".rescue-XXXXXX";
    if (!::mkdtemp(name.data()))  // mode 0700
      throw Error::book(fmt::format("No folder for the rescue can be made beside {}: {}.",
                                    beside.string(),
                                    std::error_code(errno, std::generic_category()).message()));
    path_ = name;
  }
  ~Scratch() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

// The class of an id that an entry must have made; empty where no entry need have.
std::string class_of_id(const std::string& id) {
  if (id.starts_with("worker:")) return "worker";
  if (id.starts_with("place:")) return "place";
  if (parse_batch_code(id)) return "batch";
  const Counted parts = counted(id);
  if (parts.number < 1) return "";
  static const std::map<std::string, std::string> classes{
      {"W", "wood"}, {"G", "glue"}, {"F", "finish"}, {"X", "other"}, {"P", "product"}};
  const auto found = classes.find(parts.prefix);
  return found == classes.end() ? "" : found->second;
}

// What the kept entries speak of, make and name.
class Telling {
 public:
  explicit Telling(const Kept& kept) : kept_(kept) {
    std::map<std::int64_t, std::pair<std::string, std::int64_t>> kinds;
    for (const Entry& entry : kept.entries) {
      kinds[entry.number] = {entry.kind, entry.kind_version};
      const Json body = parse_body(entry.body);
      if (entry.written_by > 0) speak(worker_id(entry.written_by), entry.number);
      if (entry.kind == rescued_kind) continue;
      hear(facts_of(entry.kind, entry.kind_version, body), entry.number);
      if (entry.kind == "workshop") workshop_ = true;
      if (entry.kind == "forget") forgotten.insert(body.text("person"));
      if (entry.kind != "forget") name(body);
      if (entry.kind != "correction") continue;
      name(body.at("body"));
      if (const auto of = kinds.find(body.integer("entry")); of != kinds.end())
        hear(
            facts_of(of->second.first, corrected_version(body, of->second.second), body.at("body")),
            entry.number);
    }
  }

  std::vector<Rescued::Lost> lost() const {
    std::vector<Rescued::Lost> out;
    for (const auto& [id, first] : spoken_) {
      const std::string class_name = class_of_id(id);
      if (class_name.empty() || made_.contains(id) || kept_.before.lost.contains(id)) continue;
      const auto pieces = pieces_.find(id);
      if (const std::int64_t gap = gap_before(first))
        out.push_back({id, class_name, gap, pieces == pieces_.end() ? 0 : pieces->second});
    }
    if (!workshop_ && !kept_.before.lost.contains(workshop_id) && !kept_.gaps.empty())
      out.push_back({workshop_id, "workshop", kept_.gaps.front().first, 0});
    return out;
  }

  // The highest id of each kind that lost entries may have made: those of a kind that were seen
  // before a gap are followed by as many as entries are lost.
  std::vector<std::string> given_out(bool open_end, int this_year) const {
    std::set<std::string> prefixes{"W", "G", "F", "X", "P", "worker:"};
    for (const auto& [prefix, highest] : highest_) prefixes.insert(prefix);
    std::set<int> years{this_year};
    for (const Entry& entry : kept_.entries)
      years.insert(static_cast<int>(std::stoi(iso(entry.written_at).substr(2, 2))));
    for (const int year : years) prefixes.insert(fmt::format("{:02}-", year));
    std::vector<std::string> out;
    for (const std::string& prefix : prefixes) {
      const auto seen = highest_.find(prefix);
      const Highest highest = seen == highest_.end() ? Highest{} : seen->second;
      const std::int64_t more = lost_behind(highest.entry) + (open_end ? end_margin : 0);
      const bool counts = prefix.ends_with('-') || !class_of_id(prefix + "1").empty();
      if (more && counts)
        out.push_back(prefix.ends_with('-') ? fmt::format("{}{:03}", prefix, highest.number + more)
                                            : fmt::format("{}{}", prefix, highest.number + more));
    }
    return out;
  }

  std::set<std::string> forgotten, files;
  std::map<std::string, std::set<std::string>> seals;

 private:
  struct Highest {
    std::int64_t number = 0, entry = 0;  // and the first entry that speaks of it
  };

  void speak(const std::string& id, std::int64_t entry) {
    spoken_.try_emplace(id, entry);
    if (id.starts_with("place:")) return;
    if (const Counted parts = counted(id); parts.number > highest_[parts.prefix].number)
      highest_[parts.prefix] = {parts.number, entry};
  }

  void hear(const Facts& facts, std::int64_t entry) {
    for (const Made& made : facts.made) {
      made_.insert(made.id);
      speak(made.id, entry);
    }
    for (const std::string& id : facts.mentions) {
      if (const auto piece = parse_piece_code(id); piece.code) {
        int& most = pieces_[piece.code->batch.text()];
        most = std::max(most, piece.code->number);
      } else {
        speak(id, entry);
      }
    }
  }

  void name(const Json& body) {
    if (const auto file = body.maybe_text("file_sha256")) files.insert(*file);
    if (const auto person = body.maybe_text("person")) seals[*person].insert(body.text("seal"));
  }

  // The first entry of the last gap before an entry; where there is none (the first worker writes
  // an entry before the one that says who that is), of the first gap; 0: no gap.
  std::int64_t gap_before(std::int64_t entry) const {
    std::int64_t out = kept_.gaps.empty() ? 0 : kept_.gaps.front().first;
    for (const Gap& gap : kept_.gaps)
      if (gap.first < entry) out = gap.first;
    for (const auto& [first, gap] : kept_.before.gaps)
      if (first < entry) out = std::max(out, first);
    return out;
  }

  std::int64_t lost_behind(std::int64_t entry) const {
    std::int64_t out = 0;
    for (const Gap& gap : kept_.gaps)
      if (gap.first > entry) out += gap.last - gap.first + 1;
    return out;
  }

  const Kept& kept_;
  std::map<std::string, std::int64_t> spoken_;  // the first entry that speaks of an id
  std::map<std::string, int> pieces_;           // the highest piece of a batch that is named
  std::map<std::string, Highest> highest_;
  std::set<std::string> made_;
  bool workshop_ = false;
};

// People and files that kept entries name and that fit; what is missing goes into `said`.
void keep_vault(Writing& writing, const Salvage& found, const Kept& kept, const Telling& telling,
                Rescued& said) {
  std::set<std::string> here;
  for (const Person& person : found.persons) {
    const auto named = telling.seals.find(person.id);
    if (named != telling.seals.end() && named->second == std::set{seal(person)} &&
        !telling.forgotten.contains(person.id)) {
      if (here.insert(person.id).second) writing.keep(person);
    } else {
      ++said.left_out;
    }
  }
  for (const auto& [person, seals] : telling.seals)
    if (!here.contains(person) && !telling.forgotten.contains(person) &&
        !kept.before.persons.contains(person))
      said.persons.push_back(person);
  for (const auto& [sha256, bytes] : found.files)
    if (telling.files.contains(sha256))
      writing.keep_file(bytes);
    else
      ++said.left_out;
  for (const std::string& file : telling.files)
    if (!found.files.contains(file) && !kept.before.files.contains(file))
      said.files.push_back(file);
}

Entry rescued_entry(const Kept& kept, const Rescued& said, const std::string& first_previous,
                    Instant now) {
  Entry out{.number = kept.last + 1,
            .happened = {now, 0},
            .written_at = now,
            .written_by = 0,
            .kind = rescued_kind,
            .kind_version = version_written(rescued_kind),
            .body = said.body().canonical(),
            .hash = {}};
  out.hash = entry_hash(kept.entries.empty() ? first_previous : kept.entries.back().hash, out);
  return out;
}

void refuse_newer(const Kept& kept) {
  for (const Entry& entry : kept.entries)
    if (entry.kind_version > version_written(entry.kind))
      facts_of(entry.kind, entry.kind_version, {});  // says so
}

// How far a rescue has come when each stage is over, of a hundred; the last is the check of what
// was written.
constexpr std::int64_t searched = 30, proved = 45, entered = 60, folded = 80, over = 100;

RescueReport write(const Salvage& found, const Kept& kept, const std::filesystem::path& target,
                   Instant now, const std::function<void(std::int64_t, std::int64_t)>& progress) {
  RescueReport report;
  Rescued& said = report.said;
  said.source = found.source;
  said.source_sha256 = found.sha256;
  said.gaps = kept.gaps;
  said.unproved = kept.unproved;
  said.rehashed = kept.rehashed;
  said.open_end = !found.last;
  said.id_lost = found.id.empty();
  const Telling telling(kept);
  said.lost = telling.lost();
  said.given_out = telling.given_out(said.open_end, std::stoi(iso(now).substr(2, 2)));
  Book::create(
      target,
      [&](Book& book) {
        Writing writing(book);
        keep_vault(writing, found, kept, telling, said);
        const Entry last = rescued_entry(kept, said, first_previous_hash(book.id()), now);
        allowing_gaps(book.sql(), [&] {
          PutEntries entries(book.sql());
          for (const Entry& entry : kept.entries) entries.put(entry);
          entries.put(last);
          entries.finish();
        });
        progress(entered, over);
        writing.rebuild_state();
        writing.commit();
        const Verdict verdict = verify(book, [&](std::int64_t done, std::int64_t of) {
          progress(folded + (over - folded) * done / std::max<std::int64_t>(of, 1), over);
        });
        if (!verdict.whole()) throw Error::book(verdict.problems.front());
        report.entry = last.number;
        report.last_hash = last.hash;
      },
      found.id);
  report.entries = static_cast<std::int64_t>(kept.entries.size());
  return report;
}

}  // namespace

RescueReport rescue(const std::filesystem::path& damaged, const std::filesystem::path& target,
                    Instant now, const std::function<void(std::int64_t, std::int64_t)>& progress) {
  const auto told = [&](std::int64_t done, std::int64_t of) {
    if (progress) progress(done, of);
  };
  if (std::error_code ignored; std::filesystem::exists(target, ignored))
    throw Error::book(
        fmt::format("{} exists already; a new book never replaces a file.", target.string()));
  const Scratch scratch(target);
  const Salvage found = salvage(damaged, scratch.path());
  told(searched, over);
  for (const bool with_unproved : {true, false}) {
    const Kept kept = prove(found, with_unproved);
    if (kept.entries.empty()) continue;
    refuse_newer(kept);
    told(proved, over);
    try {
      return write(found, kept, target, now, told);
    } catch (const Error& failure) {
      // Something unproved may say what no book could hold; without it all is proved.
      if (!with_unproved || kept.unproved.empty()) throw;
    }
  }
  throw Error::book(
      fmt::format("No entry of {} could be proved, so nothing was rescued.", damaged.string()));
}

}  // namespace trencher::book
