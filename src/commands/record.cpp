#include "paper/record.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/describe.h"
#include "commands/losses.h"
#include "commands/named.h"
#include "commands/output_file.h"
#include "commands/people.h"
#include "commands/printed_text.h"
#include "commands/record_chart.h"
#include "commands/record_rules.h"
#include "commands/shop.h"
#include "domain/text.h"
#include "paper/language.h"

namespace trencher::commands {
namespace {

constexpr Seconds late{86400};  // what is written more than a day after is marked so

std::string tins_left(const BatchView& view, const std::string& id, Units units) {
  const auto left = view.facts.left.find(id);
  if (left == view.facts.left.end()) return "";
  if (left->second.value >= 0)
    return (view.facts.work.losses.any() ? "at most " : "") + show(left->second, units) + " left";
  return fmt::format("{} more drawn than it held",
                     show(Amount{left->second.measure, -left->second.value}, units));
}

// "garage", or which pieces are where.
std::string places_now(Call& call, const BatchView& view) {
  std::map<std::string, std::vector<int>> places;
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code))
    if (piece.here())
      places[place_at(view.facts.work, piece.number, call.now())].push_back(piece.number);
  if (places.empty()) return "none is here";
  if (places.size() == 1) return places.begin()->first;
  std::vector<std::string> out;
  for (const auto& [place, pieces] : places)
    out.push_back(fmt::format("pieces {} in {}", show_piece_numbers(pieces), place));
  return join_words(out);
}

void lay_materials(Call& call, const BatchView& view, const paper::Language& language,
                   paper::RecordContent& record) {
  const auto statements = [&](const auto& about) {
    std::vector<std::string> out;
    for (const Statement& statement : view.facts.statements)
      if (about(statement))
        out.push_back(fmt::format(
            "{}{}{}, entry {}", statement.about, statement.complete ? ", list complete" : "",
            statement.dated ? ", " + language.long_date(*statement.dated) : "", statement.entry));
    return out;
  };
  for (const WoodLot& lot : view.facts.wood) {
    std::vector<std::string> detail;
    if (!lot.dried.empty()) detail.push_back(lot.dried + "-dried");
    if (lot.moisture) detail.push_back("moisture " + language.measure(show(*lot.moisture)));
    if (!lot.origin.empty()) detail.push_back("origin " + lot.origin);
    if (lot.reclaimed) detail.push_back("reclaimed");
    if (!lot.mark.empty()) detail.push_back("mark " + lot.mark);
    detail.push_back(!lot.treated   ? "treated: not known"
                     : *lot.treated ? "treated"
                                    : "not treated");
    if (view.facts.withdrawn.contains(lot.id)) detail.push_back("WITHDRAWN");
    record.materials.push_back(
        {lot.id, "wood",
         lot.botanical_name.empty() ? lot.common_name
                                    : fmt::format("{} ({})", lot.common_name, lot.botanical_name),
         lot.supplier, lot.lot, "", join(detail, ", "),
         statements([&](const Statement& s) { return s.subject == lot.id; })});
  }
  for (const auto& [id, tin] : view.facts.work.tins) {
    std::vector<std::string> detail, parts;
    for (const Drawn& part : tin.mixed_from)
      parts.push_back(part.amount
                          ? fmt::format("{} of {}", show(*part.amount, call.units()), part.tin)
                          : part.tin);
    if (!parts.empty()) detail.push_back("mixed here from " + join_words(parts));
    if (!tin.product.empty())
      detail.push_back(fmt::format("{} version {}", tin.product, tin.product_version));
    if (const std::string left = tins_left(view, id, call.units()); !left.empty())
      detail.push_back(left);
    if (view.facts.withdrawn.contains(id)) detail.push_back("WITHDRAWN");
    const auto until = use_by(tin);
    record.materials.push_back(
        {id, tin.mixed_from.empty() ? tin.stock : "mix",
         tin.kind.empty() ? tin.name : fmt::format("{} ({})", tin.name, tin.kind), tin.supplier,
         tin.lot, until ? language.long_date(*until) : "", join(detail, "; "),
         statements([&, &of = tin](const Statement& s) { return is_about(s, of); })});
  }
}

void lay_pieces(Call& call, const std::string& batch, const paper::Language& language,
                paper::RecordContent& record) {
  for (const book::PieceState& piece : book::pieces_of(call.book(), batch)) {
    paper::RecordPiece row{piece.code, "here", "", "", ""};
    if (piece.signed_off) {
      row.state = "signed off";
      row.date = language.long_date(
          local_day(book::effective_entry(call.book(), *piece.signed_off)->happened));
    }
    if (piece.scrapped) {
      const auto entry = book::effective_entry(call.book(), *piece.scrapped);
      row.state = "scrapped";
      row.date = language.long_date(local_day(entry->happened));
      row.note = Scrap::read(entry->body).why;
    }
    if (piece.turn) {
      const auto entry = book::effective_entry(call.book(), *piece.turn);
      const Turn turn = Turn::read(entry->entry.kind, entry->body);
      const std::string day = language.long_date(local_day(entry->happened));
      row.note = turn.kind == Turn::Kind::split
                     ? fmt::format("own way since {}: {}", day, turn.schedule->name)
                     : fmt::format("came back {}", day);
    }
    if (piece.given) {
      const auto entry = book::effective_entry(call.book(), *piece.given);
      const Gift gift = Gift::read(entry->body);
      row.state = gift.as;
      row.date = language.long_date(local_day(entry->happened));
      row.market = gift.market;
      const auto note = [&](const std::string& text) {
        row.note += (row.note.empty() ? "" : "; ") + text;
      };
      if (gift.food_business) note("food business");
      if (gift.is_to_stranger())
        note("to " + stranger_words(gift.event));
      else if (!gift.event.empty())
        note("at " + gift.event);
    }
    record.pieces.push_back(std::move(row));
  }
}

// Entries that belong to the batch: those that name it, those about its wood and tins, and whatever
// amends one of these.
std::set<std::int64_t> entries_of(Call& call, const BatchView& view) {
  std::set<std::int64_t> out;
  std::vector<std::string> own_ids{view.batch().code};
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code))
    own_ids.push_back(piece.code);
  for (const std::string& id : own_ids)
    for (const book::Effective& e : book::history_of(call.book(), id)) out.insert(e.entry.number);
  std::vector<std::string> lots = view.batch().wood;
  for (const auto& [id, tin] : view.facts.work.tins) lots.push_back(id);
  for (const std::string& lot : lots)
    for (const book::Effective& e : book::history_of(call.book(), lot))
      if (e.entry.kind == "wood" || e.entry.kind == "tin" || e.entry.kind == "statement" ||
          e.entry.kind == "mix" || e.entry.kind == "open" || e.entry.kind == "withdraw")
        out.insert(e.entry.number);
  const std::set<std::int64_t> own = out;
  std::vector<std::int64_t> rest(own.begin(), own.end());
  while (!rest.empty()) {
    const std::int64_t number = rest.back();
    rest.pop_back();
    for (const book::Entry& amendment : book::amendments_of(call.book(), number))
      if (out.insert(amendment.number).second) rest.push_back(amendment.number);
  }
  return out;
}

paper::RecordEntry tell_entry(Call& call, const book::Effective& e,
                              const std::set<std::int64_t>& apprentices,
                              const paper::Language& language) {
  const book::Entry& entry = e.entry;
  paper::RecordEntry row;
  row.number = entry.number;
  row.happened = language.long_moment(entry.happened);
  const auto before = entry.number > 1 ? call.book().entry(entry.number - 1) : std::nullopt;
  if (entry.written_at - entry.happened.at > late)
    row.written = language.long_moment(call.zone().moment(entry.written_at));
  if (before && before->written_at > entry.written_at) {
    row.written = language.long_moment(call.zone().moment(entry.written_at));
    row.clock_back = true;
  }
  row.by = worker_name(call, entry.written_by);
  row.apprentice = apprentices.contains(entry.written_by);
  const Json own = Json::parse(entry.body);
  if (book::is_amendment(entry.kind)) {
    const std::int64_t target = own.integer("entry");
    row.what = fmt::format("{} of entry {}", entry.kind, target);
    const auto amended = call.book().entry(target);
    if (!amended) row.what += " (" + std::string(book::lost_words) + ")";
    if (const Json* body = own.find("body"); body && amended)
      row.what += ": " + describe(call, amended->kind, *body);
    if (const auto at = own.maybe_text("happened_at"))
      row.what += fmt::format(
          "; it happened {}",
          show(Moment{instant_from_iso(*at), static_cast<int>(own.integer("happened_offset"))}));
    row.what += ". Why: " + own.text("why");
  } else {
    row.what = describe(call, entry.kind, own);
  }
  if (e.struck_by || e.corrected_by) {
    row.state = e.struck_by ? paper::EntryState::struck : paper::EntryState::corrected;
    row.superseded_by = e.struck_by ? *e.struck_by : *e.corrected_by;
    row.why = Json::parse(call.book().entry(row.superseded_by)->body).text("why");
  }
  return row;
}

void lay_findings(Call& call, const BatchView& view, const paper::Words& words,
                  paper::RecordContent& record) {
  std::vector<engine::Finding> found = engine::suitability(view.facts, view.conditions, call.now());
  std::vector<PrintedText> texts = card_texts(call, view);
  for (PrintedText& text : stock_texts(view)) texts.push_back(std::move(text));
  for (const paper::RecordEntry& entry : record.entries)
    texts.emplace_back(fmt::format("entry {}", entry.number), entry.what);
  for (engine::Finding& claim : claims_in_print(texts, false)) found.push_back(std::move(claim));
  for (const engine::Finding& finding : found)
    record.findings.push_back(
        {words("check-" + finding.check), finding.about,
         std::string(engine::to_string(finding.result)), finding.reason, finding.source,
         finding.result == engine::Result::stop || finding.result == engine::Result::not_known});
}

std::vector<paper::RecordFact> facts_of(Call& call, const BatchView& view,
                                        const std::string& language) {
  const paper::Words words("record", language);
  const paper::Language dates(language);
  const Batch& batch = view.batch();
  const auto known = [](const std::string& said) { return said.empty() ? book::lost_words : said; };
  std::vector<paper::RecordFact> out{
      {words("fact-use"), known(use_in_words(batch.use, language))},
      {words("fact-boards"), std::to_string(batch.pieces)},
      {words("fact-size"), known(dates.measure(show(batch.size, call.units())))},
      {words("fact-begun"), dates.long_moment(batch.at)},
      {words("fact-way"), batch.schedule.name},
      {words("fact-place"), places_now(call, view)}};
  if (!batch.person.empty()) out.push_back({words("fact-order"), words("fact-customer")});
  if (batch.promised) out.push_back({words("fact-promised"), dates.long_date(*batch.promised)});
  return out;
}

paper::RecordContent record_content(Call& call, const std::string& code,
                                    const std::string& language) {
  const BatchView view = view_batch(call, code);
  const paper::Language tongue(language);
  const paper::Words words("record", language);
  paper::RecordContent record;
  record.batch = code;
  record.workshop = call.settings().maker;
  record.address = call.settings().address;
  record.contact = call.settings().contact;
  record.made_on = tongue.long_moment(call.zone().moment(call.now()));
  record.summary = facts_of(call, view, language);
  lay_pieces(call, code, tongue, record);
  lay_materials(call, view, tongue, record);
  std::set<std::int64_t> apprentices;
  for (const Worker& worker : book::workers(call.book()))
    if (!worker.may_sign_off) apprentices.insert(worker.id);
  for (const std::int64_t number : entries_of(call, view))
    record.entries.push_back(
        tell_entry(call, *book::effective_entry(call.book(), number), apprentices, tongue));
  const std::vector<engine::Date> dates = dates_of(view, {}, call.now());
  const std::vector<Way> ways = ways_of(view, {}, call.now());
  for (const Way& way : ways)
    for (const engine::Date& date : dates_of(view, way.pieces, call.now())) {
      std::string at =
          date.at ? tongue.long_moment(call.zone().moment(*date.at)) : words("date-unknown");
      if (date.at && date.name == engine::food_contact)
        at = words("not-before", {{"day", tongue.long_date(call.zone().first_day_from(*date.at))}});
      const std::string name = paper::capitalised(words("date-" + date.name));
      record.dates.push_back(
          {ways.size() > 1 ? fmt::format("{}, {}", name, name_pieces(way.pieces)) : name, at,
           date.guessed, join(date.why, "; ")});
    }
  lay_findings(call, view, words, record);
  lay_rules(call, view, record);
  lay_cautions(call, view, record);
  record.chart = record_chart(call, view, dates, tongue);
  record.book_entries = entries_held(call.book());
  record.last_hash = call.book().last_hash();
  return record;
}

}  // namespace

int record(Call& call) {
  std::string code, output, sheet = "a4", language = "en";
  call.word("BATCH", code, "code of the batch");
  call.option("-o", "FILE", output, "the PDF to write");
  call.option("--paper", "a4|letter", sheet, "sheet to print on");
  call.option("--language", "LANGUAGE", language,
              join(paper::languages(), ", ") + "; what the entries say stays in English");
  call.parse();
  call.need(code, "BATCH",
            Question("Which batch", [&] { return batches_to_choose(call); }).others());
  Call::check_known(language, "Language", paper::languages());
  const paper::RecordOptions options{paper::sheet_size(sheet), language, call.now()};
  const std::filesystem::path path = need_pdf_path(call, output);
  const std::string batch = need_pieces(call, code).batch;
  paper::write_record(record_content(call, batch, language), options, path);
  if (!call.json()) call.say(fmt::format("Batch record of {} in {}.", batch, path.string()));
  return call.done(Json::object().set("batch", batch).set("file", path.string()));
}

}  // namespace trencher::commands
