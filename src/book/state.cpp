#include "book/state.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>

#include "domain/code.h"
#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/records.h"

namespace trencher::book {
namespace {

// The body that counts, the correction's where there is one, and its version.
struct Effect {
  Json body;
  std::int64_t version = 0;
  Moment happened;
};

Effect effective(Sql& sql, const Entry& entry, const Amended& amended) {
  // An amendment is never corrected (check_amendment); a book that says so is refused there.
  if (!amended.corrected_by || is_amendment(entry.kind))
    return {parse_body(entry.body), entry.kind_version, entry.happened};
  const auto text = sql.text("SELECT body FROM main.entry WHERE number = ?", *amended.corrected_by);
  const Json correction = parse_body(text.value());
  Moment happened = entry.happened;
  if (const auto at = correction.maybe_text("happened_at"))
    happened = {instant_from_iso(*at), static_cast<int>(correction.integer("happened_offset"))};
  return {correction.at("body"), corrected_version(correction, entry.kind_version), happened};
}

// The ids through which an entry bears on batches; none for what no check rests on.
std::vector<std::string> grounds(std::string_view kind, const Facts& facts) {
  static constexpr std::array makers{"wood", "tin", "mix", "product", "species", "place", "batch"};
  static constexpr std::array speakers{"statement", "readings", "open", "withdraw"};
  std::vector<std::string> out;
  if (std::find(makers.begin(), makers.end(), kind) != makers.end())
    for (const Made& made : facts.made) out.push_back(made.id);
  else if (std::find(speakers.begin(), speakers.end(), kind) != speakers.end())
    out = facts.mentions;
  else if (is_step(kind) || is_turn(kind))
    for (const std::string& id : facts.mentions)
      if (parse_batch_code(id)) out.push_back(id);
  return out;
}

// Codes of the pieces that a step names; empty: all of its batch, or no step.
std::vector<std::string> pieces_named(std::string_view kind, const Json& body) {
  if (!is_step(kind) && !is_turn(kind)) return {};
  const auto numbers = body.integers("pieces");
  return piece_codes(body.text("batch"), {numbers.begin(), numbers.end()});
}

// WITH touched(id): ?1, a JSON list of ids, and every batch that they reach, by way of tins and
// lots.
std::string reaching(const std::string& schema) {
  return fmt::format(
      "WITH RECURSIVE touched(id) AS ("
      "  SELECT value FROM json_each(?1)"
      "  UNION"
      "  SELECT other.id FROM touched JOIN {0}.mention AS used ON used.id = touched.id"
      "    JOIN {0}.mention AS other ON other.entry = used.entry"
      "    JOIN {0}.thing AS reached ON reached.id = other.id"
      "    WHERE used.struck = 0"
      "      AND (reached.class = 'batch'"
      "        OR (reached.class IN ('wood', 'glue', 'finish', 'other')"
      "            AND reached.entry = used.entry)))",
      schema);
}

}  // namespace

Entry read_entry(const Row& row) {
  try {
    const std::int64_t offset = row.number(2);
    if (std::abs(offset) >= 24 * 60)
      throw Error::book(fmt::format("{} minutes is no offset from UTC.", offset));
    return {row.number(0),
            {instant_from_iso(row.text(1)), static_cast<int>(offset)},
            instant_from_iso(row.text(3)),
            row.number(4),
            row.text(5),
            row.number(6),
            row.text(7),
            row.text(8)};
  } catch (const Error& failure) {
    throw Error::book(fmt::format("Entry {} cannot be read: {}", row.number(0), failure.what()));
  }
}

std::map<std::int64_t, Amended> amendments(Sql& sql, std::int64_t also_struck) {
  std::map<std::int64_t, Amended> out;
  if (also_struck) out[also_struck].struck_by = std::numeric_limits<std::int64_t>::max();
  // From the last to the first: what strikes an amendment is always a later entry.
  sql.each(
      "SELECT number, kind, body FROM main.entry WHERE kind IN ('correction', 'strike') "
      "ORDER BY number DESC",
      [&](const Row& row) {
        const std::int64_t number = row.number(0);
        if (const auto own = out.find(number); own != out.end() && own->second.struck_by) return;
        Amended& target = out[parse_body(row.text(2)).integer("entry")];
        auto& place = row.text(1) == "strike" ? target.struck_by : target.corrected_by;
        if (!place) place = number;
      });
  return out;
}

Touched touched_by(Sql& sql, const std::string& schema, std::int64_t number, const Json* body) {
  std::string kind;
  std::int64_t version = 0;
  Json own;
  const auto read = [&](std::int64_t entry) {
    sql.each(
        "SELECT kind, kind_version, body FROM main.entry WHERE number = ?",
        [&](const Row& row) {
          kind = row.text(0);
          version = row.number(1);
          own = parse_body(row.text(2));
        },
        entry);
  };
  std::int64_t target = number;
  for (read(target); is_amendment(kind); read(target)) {
    target = own.integer("entry");
    kind.clear();
  }
  if (kind.empty()) return {reaching(schema), "[]", number, "[]"};  // what it amends is lost

  Json from = Json::array(), pieces = Json::array();
  bool all_pieces = false;
  const auto add = [&](const Json& says, std::int64_t of_version) {
    for (const std::string& id : grounds(kind, facts_of(kind, of_version, says))) from.push(id);
    const auto named = pieces_named(kind, says);
    all_pieces = all_pieces || named.empty();
    for (const std::string& code : named) pieces.push(code);
  };
  add(own, version);
  if (body) add(*body, version_written(kind));
  sql.each(
      "SELECT amending.body FROM " + schema +
          ".mention AS named JOIN main.entry AS amending"
          " ON amending.number = named.entry WHERE named.id = ? AND named.kind = 'correction'",
      [&](const Row& row) {
        const Json correction = parse_body(row.text(0));
        add(correction.at("body"), corrected_version(correction, version));
      },
      entry_id(target));
  return {reaching(schema), from.text(), target == number ? 0 : number,
          all_pieces ? "[]" : pieces.text()};
}

Touched touched_by(const std::string& schema, const std::vector<std::string>& ids) {
  return {reaching(schema), Json::list(ids).text(), 0, "[]"};
}

State::State(Sql& sql, std::string schema) : sql_(sql), schema_(std::move(schema)) {}

const std::vector<std::string>& State::tables() {
  static const std::vector<std::string> names{"amended",    "thing",         "mention",
                                              "piece",      "open_batch",    "open_rags",
                                              "made_wrong", "readings_span", "counter"};
  return names;
}

void State::make_tables() {
  std::string sql(embedded_text(embedded_book(), "schema/state.sql"));
  for (const std::string mark = "{schema}"; sql.find(mark) != std::string::npos;)
    sql.replace(sql.find(mark), mark.size(), schema_);
  sql_.script(sql);
}

void State::append(const Entry& entry) {
  if (is_amendment(entry.kind) || entry.kind == rescued_kind)
    rebuild();  // it reaches back; linear, and rare
  else
    fold(entry, {});
}

void State::rebuild() {
  for (const std::string& name : tables()) sql_.run("DELETE FROM " + table(name.c_str()));
  const auto amended = amendments(sql_);
  rescues_ = rescues(sql_);
  lay_lost();
  std::int64_t last = 0;
  sql_.each(std::string("SELECT ") + entry_columns + " FROM main.entry ORDER BY number",
            [&](const Row& row) {
              const Entry entry = read_entry(row);
              if (entry.number != last + 1) pass_gap();
              last = entry.number;
              const auto found = amended.find(entry.number);
              fold(entry, found == amended.end() ? Amended{} : found->second);
            });
}

// What entries speak of though the entry that made it is lost has an id all the same. Nothing
// speaks of it before its gap, so it may be there from the first.
void State::lay_lost() {
  for (const auto& [id, lost] : rescues_.lost) {
    sql_.run("INSERT INTO " + table("thing") + " VALUES (?, ?, ?)", id, lost.class_name, lost.gap);
    count_ids({{{id, lost.class_name}}, {}});
    if (lost.class_name != "batch") continue;
    std::vector<int> numbers;
    for (int number = 1; number <= lost.pieces; ++number) numbers.push_back(number);
    const std::vector<std::string> codes = piece_codes(id, numbers);
    for (std::size_t i = 0; i < codes.size(); ++i)
      sql_.run("INSERT INTO " + table("piece") + " (code, batch, number) VALUES (?, ?, ?)",
               codes[i], id, numbers[i]);
    count_those_here(id);
  }
}

// Lost entries may have borne on any board that was signed off and is here.
void State::pass_gap() {
  sql_.run("UPDATE " + table("piece") +
           " SET signed_off = NULL, signed_off_at = NULL"
           " WHERE signed_off IS NOT NULL AND given IS NULL");
}

void State::fold(const Entry& entry, const Amended& amended) {
  const Effect effect = effective(sql_, entry, amended);
  const Json& body = effect.body;
  const Facts facts = facts_of(entry.kind, effect.version, body);
  if (amended.corrected_by || amended.struck_by)
    sql_.run("INSERT INTO " + table("amended") + " VALUES (?, ?, ?)", entry.number,
             amended.corrected_by, amended.struck_by);
  for (const std::string& id : facts.mentions)
    sql_.run("INSERT INTO " + table("mention") + " VALUES (?, ?, ?, ?)", id, entry.number,
             entry.kind, amended.struck_by ? 1 : 0);
  count_ids(facts);
  if (entry.kind == rescued_kind) {
    sql_.run("INSERT INTO " + table("thing") + " VALUES (?, ?, ?)",
             fmt::format("rescue:{}", entry.number), "rescue", entry.number);
    for (const std::string& id : Rescued::read(body).given_out) count_ids({{{id, ""}}, {}});
    if (rescues_.open_end) pass_gap();
  }
  // What a correction did away with was given out all the same.
  if (amended.corrected_by)
    count_ids(facts_of(entry.kind, entry.kind_version, parse_body(entry.body)));
  if (is_amendment(entry.kind)) check_amendment(entry, body);
  if (!amended.struck_by) apply(entry, body, effect.happened, facts);
}

void State::count_ids(const Facts& facts) {
  for (const Made& made : facts.made) {
    const Counted id = counted(made.id);
    if (id.number > 0)
      sql_.run(
          "INSERT INTO " + table("counter") +
              " VALUES (?, ?) ON CONFLICT (prefix) DO UPDATE SET last = max(last, excluded.last)",
          id.prefix, id.number);
  }
}

// An amendment names an entry before it, and a correction never another amendment: without that
// the fold has no answer. Its body counts as giving out ids even where it is struck.
void State::check_amendment(const Entry& entry, const Json& body) {
  const std::int64_t target = body.integer("entry");
  std::optional<Facts> facts;
  sql_.each(
      "SELECT kind, kind_version FROM main.entry WHERE number = ? AND number < ?",
      [&](const Row& row) {
        if (entry.kind == "strike") {
          facts.emplace();
        } else if (!is_amendment(row.text(0))) {
          facts = facts_of(row.text(0), corrected_version(body, row.number(1)), body.at("body"));
        }
      },
      target, entry.number);
  if (!facts && rescues_.is_lost(target)) return;  // nobody knows what it amends
  if (!facts)
    throw Error::book(
        fmt::format("Entry {} is a {} of entry {}, which is none before it that can be so amended.",
                    entry.number, entry.kind, target));
  count_ids(*facts);
}

void State::apply(const Entry& entry, const Json& body, Moment happened, const Facts& facts) {
  for (const Made& made : facts.made)  // settings and places may be stated anew: the latest counts
    sql_.run("INSERT INTO " + table("thing") +
                 " VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET entry = excluded.entry",
             made.id, made.class_name, entry.number);
  if (entry.kind == "batch") {
    apply_batch(body);
  } else if (is_step(entry.kind)) {
    apply_step(entry, Step::read(entry.kind, body), happened);
  } else if (entry.kind == "rags-done") {
    for (const std::int64_t coat : RagsDone::read(body).coats)
      sql_.run("DELETE FROM " + table("open_rags") + " WHERE entry = ?", coat);
  } else if (entry.kind == "readings") {
    const Readings readings = Readings::read(entry.number, body);
    if (readings.samples.empty()) return;
    const auto [first, last] =
        std::minmax_element(readings.samples.begin(), readings.samples.end(),
                            [](const Reading& a, const Reading& b) { return a.at < b.at; });
    sql_.run("INSERT INTO " + table("readings_span") +
                 " (place, first_s, last_s, entry) VALUES (?, ?, ?, ?)",
             readings.place, std::int64_t{first->at.time_since_epoch().count()},
             std::int64_t{last->at.time_since_epoch().count()}, entry.number);
  } else if (is_amendment(entry.kind)) {
    reopen_sign_offs(body.integer("entry"));
  } else {
    apply_to_pieces(entry, body, happened);
  }
  note_wrong(entry, body);
}

// A step that is entered late, after the sign-off of what it touches, reopens it, and so does an
// inspection that finds a fault, whenever it was.
void State::apply_step(const Entry& entry, const Step& step, Moment happened) {
  if (step.rags)
    sql_.run("INSERT INTO " + table("open_rags") + " VALUES (?, ?)", entry.number, step.batch);
  static constexpr std::array bearing{"glue-up", "coat", "fit", "move"};
  const bool fault = step.result == "not-sound";
  if (!fault && std::find(bearing.begin(), bearing.end(), entry.kind) == bearing.end()) return;
  sql_.run("UPDATE " + table("piece") +
               " SET signed_off = NULL, signed_off_at = NULL"
               " WHERE batch = ?1 AND signed_off IS NOT NULL"
               " AND (?2 = '[]' OR number IN (SELECT value FROM json_each(?2)))"
               " AND (?4 OR signed_off_at > ?3)",
           step.batch, Json::list(step.pieces).text(), iso(happened.at), std::int64_t{fault});
}

void State::apply_batch(const Json& body) {
  const Batch batch = Batch::read(body);
  std::vector<int> numbers;
  for (int number = 1; number <= batch.pieces; ++number) numbers.push_back(number);
  const std::vector<std::string> codes = piece_codes(batch.code, numbers);
  for (std::size_t i = 0; i < codes.size(); ++i)
    sql_.run("INSERT INTO " + table("piece") + " (code, batch, number) VALUES (?, ?, ?)", codes[i],
             batch.code, numbers[i]);
  sql_.run("INSERT INTO " + table("open_batch") + " VALUES (?, ?)", batch.code, batch.pieces);
}

// What becomes of named pieces: signed off, given, scrapped, gone another way, told about.
void State::apply_to_pieces(const Entry& entry, const Json& body, Moment happened) {
  static constexpr std::array kinds{"sign-off", "give",  "scrap",  "split",    "take-back",
                                    "card",     "dealt", "answer", "complaint"};
  if (std::find(kinds.begin(), kinds.end(), entry.kind) == kinds.end()) return;
  const auto numbers = body.integers("pieces");
  const std::string& batch = body.text("batch");
  const auto codes = piece_codes(batch, {numbers.begin(), numbers.end()});
  const auto set = [&](const char* assignment) {
    for (const std::string& code : codes)
      sql_.run("UPDATE " + table("piece") + " SET " + assignment + " WHERE code = ?2", entry.number,
               code);
  };
  if (entry.kind == "sign-off") {
    for (const std::string& code : codes)
      sql_.run("UPDATE " + table("piece") + " SET signed_off = ?, signed_off_at = ? WHERE code = ?",
               entry.number, iso(happened.at), code);
    settle(codes, "sign-off");
  } else if (entry.kind == "give") {
    set("given = ?1");
    // A card that was wrong has left with the board: now somebody is to be told.
    for (const std::string& code : codes)
      sql_.run("UPDATE OR REPLACE " + table("made_wrong") +
                   " SET what = 'gift' WHERE piece = ? AND what = 'card'",
               code);
  } else if (entry.kind == "scrap") {
    set("scrapped = ?1, signed_off = NULL, signed_off_at = NULL");
    for (const char* what : {"sign-off", "card", "gift", "answer"}) settle(codes, what);
  } else if (entry.kind == "split") {
    set("turn = ?1, signed_off = NULL, signed_off_at = NULL");
  } else if (entry.kind == "take-back") {
    set("turn = ?1, signed_off = NULL, signed_off_at = NULL, given = NULL");
    settle(codes, "gift");
  } else if (entry.kind == "card" || entry.kind == "answer") {
    settle(codes, entry.kind.c_str());
  } else if (entry.kind == "complaint") {
    for (const std::string& code : codes)
      sql_.run("INSERT OR IGNORE INTO " + table("made_wrong") + " VALUES (?, ?, 'complaint')",
               entry.number, code);
  } else {
    for (const std::string& code : codes)
      sql_.run("DELETE FROM " + table("made_wrong") + " WHERE entry = ? AND piece = ?",
               body.integer("entry"), code);
  }
  count_those_here(batch);
}

void State::count_those_here(const std::string& batch) {
  sql_.run("DELETE FROM " + table("open_batch") + " WHERE batch = ?", batch);
  sql_.run("INSERT INTO " + table("open_batch") + " SELECT batch, count(*) FROM " + table("piece") +
               " WHERE batch = ? AND given IS NULL AND scrapped IS NULL GROUP BY batch",
           batch);
}

void State::note_wrong(const Entry& entry, const Json& body) {
  for (const MadeWrong& wrong : made_wrong(body))
    for (const auto& [pieces, what] : {std::pair{&wrong.sign_off, "sign-off"},
                                       {&wrong.card, "card"},
                                       {&wrong.left, "gift"},
                                       {&wrong.answer, "answer"}})
      for (const std::string& code : piece_codes(wrong.batch, *pieces))
        sql_.run("INSERT OR IGNORE INTO " + table("made_wrong") + " SELECT ?1, code, ?2 FROM " +
                     table("piece") + " WHERE code = ?3",
                 entry.number, what, code);
}

// Done anew: what had been wrong about it is dealt with.
void State::settle(const std::vector<std::string>& pieces, const char* what) {
  for (const std::string& code : pieces)
    sql_.run("DELETE FROM " + table("made_wrong") + " WHERE piece = ? AND what = ?", code, what);
}

// A sign-off stands on what the record said then; what is amended under it is to be signed anew.
void State::reopen_sign_offs(std::int64_t target) {
  const Touched touched = touched_by(sql_, schema_, target);
  sql_.run(touched.with + " UPDATE " + table("piece") +
               " SET signed_off = NULL, signed_off_at = NULL WHERE signed_off > ?2 AND batch IN "
               "(SELECT id FROM touched)"
               " AND (?3 = '[]' OR code IN (SELECT value FROM json_each(?3)))",
           touched.from, touched.since, touched.pieces);
}

}  // namespace trencher::book
