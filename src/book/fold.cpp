#include "book/fold.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <set>

#include "book/sql.h"
#include "domain/code.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

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

std::vector<int> numbers_of(const Json& body) {
  const auto numbers = body.integers("pieces");
  return {numbers.begin(), numbers.end()};
}

// Whether batches are reached from it: a tin, lot, product, species or place.
bool leads_on(const std::string& id) {
  for (const char* other : {"person:", "entry:", "rule:", "worker:"})
    if (id.starts_with(other)) return false;
  return id != workshop_id && (id[0] < '0' || id[0] > '9');  // codes of boards begin with a year
}

}  // namespace

void Amendments::take(std::int64_t number, bool strike, std::string body) {
  taken_.push_back({number, strike, std::move(body)});
}

std::map<std::int64_t, Amended> Amendments::all(std::int64_t also_struck) const {
  std::map<std::int64_t, Amended> out;
  if (also_struck) out[also_struck].struck_by = std::numeric_limits<std::int64_t>::max();
  // From the last to the first: what strikes an amendment is always a later entry.
  for (auto one = taken_.rbegin(); one != taken_.rend(); ++one) {
    if (const auto own = out.find(one->number); own != out.end() && own->second.struck_by) continue;
    Amended& target = out[parse_body(one->body).integer("entry")];
    auto& place = one->strike ? target.struck_by : target.corrected_by;
    if (place) continue;
    place = one->number;
    if (!one->strike) target.correction = one->body;
  }
  return out;
}

Amendments amendments(Sql& sql) {
  Amendments out;
  sql.each(
      "SELECT number, kind, body FROM main.entry WHERE kind IN ('correction', 'strike')"
      " ORDER BY number",
      [&](const Row& row) { out.take(row.number(0), row.text(1) == "strike", row.text(2)); });
  return out;
}

Ground ground_of(Sql& sql, std::int64_t number,
                 const std::function<std::vector<std::int64_t>(std::int64_t of)>& corrections,
                 const Json* body) {
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
  Ground out;
  out.since = target == number ? 0 : number;
  if (kind.empty()) return out;  // what it amends is lost: nobody knows

  bool all_pieces = false;
  const auto add = [&](const Json& says, std::int64_t of_version) {
    for (std::string& id : grounds(kind, facts_of(kind, of_version, says)))
      out.ids.push_back(std::move(id));
    const auto named = pieces_named(kind, says);
    all_pieces = all_pieces || named.empty();
    out.pieces.insert(out.pieces.end(), named.begin(), named.end());
  };
  add(own, version);
  if (body) add(*body, version_written(kind));
  for (const std::int64_t by : corrections(target)) {
    const auto text = sql.text("SELECT body FROM main.entry WHERE number = ?", by);
    if (!text) continue;
    const Json correction = parse_body(*text);
    add(correction.at("body"), corrected_version(correction, version));
  }
  if (all_pieces) out.pieces.clear();
  return out;
}

void Folding::speak(const Entry& entry, const Facts& facts, bool struck) {
  for (const std::string& id : facts.mentions)
    tables_.mention(id, entry.number, entry.kind, struck);
  count_ids(facts);
  if (struck) return;
  const auto lead_to = [&](const std::string& reached) {
    for (const std::string& id : facts.mentions)
      if (id != reached && leads_on(id)) tables_.reach(id, reached);
  };
  static constexpr std::array made_of{"wood", "glue", "finish", "other"};
  for (const Made& made : facts.made)
    if (std::find(made_of.begin(), made_of.end(), made.class_name) != made_of.end())
      lead_to(made.id);
  for (const std::string& id : facts.mentions)
    if (parse_batch_code(id)) lead_to(id);
}

void Folding::count_ids(const Facts& facts) {
  for (const Made& made : facts.made)
    if (const Counted id = counted(made.id); id.number > 0) tables_.count(id.prefix, id.number);
}

void Folding::apply(const Entry& entry, const Json& body, Moment happened, const Facts& facts) {
  for (const Made& made : facts.made)  // settings and places may be stated anew: the latest counts
    tables_.thing(made.id, made.class_name, entry.number);
  if (entry.kind == "batch") {
    const Batch batch = Batch::read(body);
    tables_.add_batch(batch.code, batch.pieces);
  } else if (is_step(entry.kind)) {
    apply_step(entry, Step::read(entry.kind, body), happened);
  } else if (entry.kind == "mix") {
    for (const Drawn& part : Mix::read(body).drawn) take_from_tin(part.tin, happened, part.amount);
  } else if (entry.kind == "open") {
    take_from_tin(body.text("tin"), happened, {});
  } else if (entry.kind == "rags-done") {
    for (const std::int64_t coat : RagsDone::read(body).coats) tables_.take_rags(coat);
  } else if (entry.kind == "readings") {
    const Readings readings = Readings::read(entry.number, body);
    if (readings.samples.empty()) return;
    const auto [first, last] =
        std::minmax_element(readings.samples.begin(), readings.samples.end(),
                            [](const Reading& a, const Reading& b) { return a.at < b.at; });
    tables_.add_span(readings.place, first->at.time_since_epoch().count(), entry.number,
                     last->at.time_since_epoch().count());
  } else {
    apply_to_pieces(entry, body, happened);
  }
  note_wrong(entry, body);
}

// A step that is entered late, after the sign-off of what it touches, reopens it, and so does an
// inspection that finds a fault, whenever it was.
void Folding::apply_step(const Entry& entry, const Step& step, Moment happened) {
  for (const Drawn& part : step.drawn) take_from_tin(part.tin, happened, part.amount);
  if (step.rags) tables_.add_rags(entry.number, step.batch);
  if (step.temp && !step.place.empty())
    tables_.add_air(step.place, {entry.number, happened.at, *step.temp, step.rh});
  static constexpr std::array bearing{"glue-up", "coat", "fit", "move"};
  const bool fault = step.result == "not-sound";
  if (!fault && std::find(bearing.begin(), bearing.end(), entry.kind) == bearing.end()) return;
  tables_.change_pieces(step.batch, step.pieces, [&](PieceRow& piece) {
    if (piece.signed_off && (fault || piece.signed_off->at > happened.at)) piece.signed_off.reset();
  });
}

void Folding::take_from_tin(const std::string& tin, Moment happened,
                            const std::optional<Amount>& amount) {
  tables_.change_tin(tin, [&](std::optional<TinRow>& row) {
    if (!row) row.emplace().first = happened;
    if (happened.at < row->first.at) row->first = happened;
    if (!amount) return;
    std::int64_t& sum = amount->measure == Amount::Measure::volume ? row->drawn_ul : row->drawn_mg;
    // Sums that no workshop reaches, out of a book that somebody forged, must not overflow.
    constexpr std::int64_t most = std::int64_t{1} << 60;
    sum = std::clamp(sum + std::clamp(amount->value, -most, most), -most, most);
  });
}

// What becomes of named pieces: signed off, given, scrapped, gone another way, told about.
void Folding::apply_to_pieces(const Entry& entry, const Json& body, Moment happened) {
  static constexpr std::array kinds{"sign-off", "give",  "scrap",  "split",    "take-back",
                                    "card",     "dealt", "answer", "complaint"};
  if (std::find(kinds.begin(), kinds.end(), entry.kind) == kinds.end()) return;
  const std::string& batch = body.text("batch");
  const std::vector<int> numbers = numbers_of(body);
  const std::vector<std::string> codes = piece_codes(batch, numbers);
  const auto change = [&](const std::function<void(PieceRow&)>& how) {
    if (!numbers.empty()) tables_.change_pieces(batch, numbers, how);
  };
  // Done anew: what had been wrong about it is dealt with.
  const auto settle = [&](std::string_view what) {
    for (const std::string& code : codes) tables_.settle(code, what);
  };
  if (entry.kind == "sign-off") {
    change([&](PieceRow& piece) { piece.signed_off = {entry.number, happened.at}; });
    settle("sign-off");
  } else if (entry.kind == "give") {
    change([&](PieceRow& piece) { piece.given = entry.number; });
    for (const std::string& code : codes) tables_.card_has_left(code);
  } else if (entry.kind == "scrap") {
    change([&](PieceRow& piece) {
      piece.scrapped = entry.number;
      piece.signed_off.reset();
    });
    for (const char* what : {"sign-off", "card", "gift", "answer"}) settle(what);
  } else if (entry.kind == "split") {
    change([&](PieceRow& piece) {
      piece.turn = entry.number;
      piece.signed_off.reset();
    });
  } else if (entry.kind == "take-back") {
    change([&](PieceRow& piece) {
      piece.turn = entry.number;
      piece.signed_off.reset();
      piece.given.reset();
    });
    settle("gift");
  } else if (entry.kind == "card" || entry.kind == "answer") {
    settle(entry.kind);
  } else if (entry.kind == "complaint") {
    for (const std::string& code : codes) tables_.add_wrong(entry.number, code, "complaint");
  } else {
    for (const std::string& code : codes) tables_.take_wrong(body.integer("entry"), code);
  }
}

void Folding::note_wrong(const Entry& entry, const Json& body) {
  for (const MadeWrong& wrong : made_wrong(body))
    for (const auto& [pieces, what] : {std::pair{&wrong.sign_off, "sign-off"},
                                       {&wrong.card, "card"},
                                       {&wrong.left, "gift"},
                                       {&wrong.answer, "answer"}}) {
      const std::vector<std::string> codes = piece_codes(wrong.batch, *pieces);
      for (std::size_t i = 0; i < codes.size(); ++i)
        if (tables_.has_piece(wrong.batch, (*pieces)[i]))
          tables_.add_wrong(entry.number, codes[i], what);
    }
}

Fold::Fold(Sql& sql, std::map<std::int64_t, Amended> amended, Rescues rescues,
           TablesInMemory::Use use)
    : sql_(sql),
      tables_(std::move(use)),
      folding_(tables_),
      amended_(std::move(amended)),
      rescues_(std::move(rescues)) {
  lay_lost();
}

// What entries speak of though the entry that made it is lost has an id all the same. Nothing
// speaks of it before its gap, so it may be there from the first.
void Fold::lay_lost() {
  for (const auto& [id, lost] : rescues_.lost) {
    tables_.thing(id, lost.class_name, lost.gap);
    folding_.count_ids({{{id, lost.class_name}}, {}});
    if (lost.class_name == "batch") tables_.add_batch(id, lost.pieces);
  }
}

// Lost entries may have borne on any board that was signed off and is here.
void Fold::pass_gap() {
  tables_.change_all([](PieceRow& piece) {
    if (!piece.given) piece.signed_off.reset();
  });
}

void Fold::take(const Entry& entry, const Json& body, const Facts& facts) {
  if (entry.number != last_ + 1) pass_gap();
  last_ = entry.number;
  const auto found = amended_.find(entry.number);
  if (found == amended_.end()) return take_as(entry, body, facts, entry.happened, false);
  const Amended& amended = found->second;
  const bool struck = amended.struck_by.has_value();
  tables_.amend(entry.number, amended.corrected_by, amended.struck_by);
  // An amendment is never corrected (check_amendment); a book that says so is refused there.
  if (!amended.corrected_by || is_amendment(entry.kind))
    return take_as(entry, body, facts, entry.happened, struck);
  const Json correction = parse_body(amended.correction);
  Moment happened = entry.happened;
  if (const auto at = correction.maybe_text("happened_at"))
    happened = {instant_from_iso(*at), static_cast<int>(correction.integer("happened_offset"))};
  folding_.count_ids(facts);  // what a correction did away with was given out all the same
  const Json& now = correction.at("body");
  take_as(entry, now, facts_of(entry.kind, corrected_version(correction, entry.kind_version), now),
          happened, struck);
}

void Fold::take_as(const Entry& entry, const Json& body, const Facts& facts, Moment happened,
                   bool struck) {
  folding_.speak(entry, facts, struck);
  if (entry.kind == rescued_kind) {
    tables_.thing(fmt::format("rescue:{}", entry.number), "rescue", entry.number);
    for (const std::string& id : Rescued::read(body).given_out)
      folding_.count_ids({{{id, ""}}, {}});
    if (rescues_.open_end) pass_gap();
  }
  if (is_amendment(entry.kind)) {
    if (entry.kind == "correction") corrections_[body.integer("entry")].push_back(entry.number);
    check_amendment(entry, body);
    if (!struck) reopen_sign_offs(body.integer("entry"));
  }
  if (!struck) folding_.apply(entry, body, happened, facts);
}

// An amendment names an entry before it, and a correction never another amendment: without that
// the fold has no answer. Its body counts as giving out ids even where it is struck.
void Fold::check_amendment(const Entry& entry, const Json& body) {
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
  folding_.count_ids(*facts);
}

// A sign-off stands on what the record said then; what is amended under it is to be signed anew.
void Fold::reopen_sign_offs(std::int64_t amended) {
  const Ground ground =
      ground_of(sql_, amended, [&](std::int64_t target) { return corrections_[target]; });
  const std::set<std::string> pieces(ground.pieces.begin(), ground.pieces.end());
  for (const std::string& id : tables_.reached_from(ground.ids)) {
    if (!parse_batch_code(id)) continue;
    int number = 0;
    tables_.change_pieces(id, {}, [&](PieceRow& piece) {
      ++number;
      if (!piece.signed_off || piece.signed_off->entry <= ground.since) return;
      if (pieces.empty() || pieces.contains(piece_codes(id, {number}).front()))
        piece.signed_off.reset();
    });
  }
}

}  // namespace trencher::book
