#include "book/kinds.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>

#include "domain/code.h"
#include "domain/error.h"
#include "domain/records.h"

namespace trencher::book {
namespace {

constexpr std::array<std::string_view, 8> step_kinds{"glue-up", "fit",   "sand",    "raise-grain",
                                                     "coat",    "scuff", "inspect", "move"};

// Other kinds than steps, and the version in which each is written today.
constexpr std::array<std::pair<std::string_view, std::int64_t>, 32> other_kinds{
    {{"workshop", 3},  {"worker", 1},     {"place", 1},      {"species", 1},   {"product", 3},
     {"wood", 3},      {"tin", 3},        {"mix", 1},        {"open", 1},      {"withdraw", 2},
     {"statement", 3}, {"batch", 2},      {"split", 1},      {"take-back", 1}, {"scrap", 1},
     {"readings", 2},  {"rags-done", 1},  {"note", 1},       {"sign-off", 1},  {"give", 2},
     {"card", 3},      {"dealt", 1},      {"correction", 2}, {"strike", 2},    {"answer", 1},
     {"recall", 1},    {"recall-end", 1}, {"complaint", 1},  {"forget", 1},    {"photograph", 1},
     {"rules", 1},     {"rescued", 1}}};
constexpr std::int64_t step_version = 2;

constexpr std::int64_t most_pieces = 999;  // what a piece's code can number

void append_codes(std::vector<std::string>& out, std::string_view batch,
                  const std::vector<int>& pieces) {
  if (pieces.empty()) return;
  const auto code = parse_batch_code(batch);
  if (!code)
    throw Error::book(fmt::format("The book holds the batch code '{}', which is none.", batch));
  for (const int number : pieces) out.push_back(PieceCode{*code, number}.text());
}

void add_pieces(Facts& facts, const std::string& batch, const std::vector<int>& pieces) {
  facts.mentions.reserve(pieces.size() + 4);  // a tin, a place and a person beside
  facts.mentions.push_back(batch);
  append_codes(facts.mentions, batch, pieces);
}

void make(Facts& facts, std::string id, std::string class_name) {
  facts.mentions.push_back(id);
  facts.made.push_back({std::move(id), std::move(class_name)});
}

Facts facts_of_batch(const Json& body) {
  const Batch batch = Batch::read(body);
  if (const std::int64_t pieces = body.integer("pieces"); pieces < 1 || pieces > most_pieces)
    throw Error::book(fmt::format("The book holds a batch of {} pieces; a batch has 1 to {}.",
                                  pieces, most_pieces));
  Facts facts;
  make(facts, batch.code, "batch");
  for (const auto* ids : {&batch.wood, &batch.glue, &batch.finish})
    facts.mentions.insert(facts.mentions.end(), ids->begin(), ids->end());
  facts.mentions.push_back(place_id(batch.place));
  if (!batch.person.empty()) facts.mentions.push_back(person_id(batch.person));
  return facts;
}

Facts facts_of_step(std::string_view kind, const Json& body) {
  const Step step = Step::read(kind, body);
  Facts facts;
  add_pieces(facts, step.batch, step.pieces);
  for (const Drawn& part : step.drawn) facts.mentions.push_back(part.tin);
  if (!step.place.empty()) facts.mentions.push_back(place_id(step.place));
  return facts;
}

Facts facts_of_turn(std::string_view kind, const Json& body) {
  const Turn turn = Turn::read(kind, body);
  Facts facts;
  add_pieces(facts, turn.batch, turn.pieces);
  facts.mentions.insert(facts.mentions.end(), turn.finish.begin(), turn.finish.end());
  if (!turn.place.empty()) facts.mentions.push_back(place_id(turn.place));
  return facts;
}

Facts facts_of_mix(const Json& body) {
  const Mix mix = Mix::read(body);
  Facts facts;
  make(facts, mix.id, mix.stock);
  for (const Drawn& part : mix.drawn) facts.mentions.push_back(part.tin);
  return facts;
}

Facts facts_of_rescued(const Rescued& said) {
  Facts facts;
  std::int64_t last = 0;
  for (const Gap& gap : said.gaps) {
    if (gap.first <= last || gap.last < gap.first)
      throw Error::book(
          fmt::format("{} to {} is no gap behind entry {}.", gap.first, gap.last, last));
    last = gap.last;
  }
  for (const Rescued::Lost& lost : said.lost) {
    if (lost.pieces < 0 || lost.pieces > most_pieces)
      throw Error::book(
          fmt::format("A lost batch has {} pieces; the most are {}.", lost.pieces, most_pieces));
    facts.mentions.push_back(lost.id);
  }
  return facts;
}

// What comes after the boards are made: told, recalled, complained of. Nothing: none of these.
std::optional<Facts> facts_of_told(std::string_view kind, const Json& body) {
  Facts facts;
  if (kind == "dealt") {
    const Dealt dealt = Dealt::read(body);
    add_pieces(facts, dealt.batch, dealt.pieces);
    facts.mentions.push_back(entry_id(dealt.with));
  } else if (kind == "card") {
    const PrintedCard card = PrintedCard::read(body);
    add_pieces(facts, card.batch, card.pieces);
  } else if (kind == "answer") {
    const KeptAnswer answer = KeptAnswer::read(body);
    add_pieces(facts, answer.batch, answer.pieces);
  } else if (kind == "withdraw") {
    facts.mentions = Withdrawal::read(body).ids;
  } else if (kind == "recall") {
    const RecallStep step = RecallStep::read(body);
    add_pieces(facts, step.batch, step.pieces);
    facts.mentions.push_back(entry_id(step.withdrawal));
  } else if (kind == "recall-end") {
    facts.mentions.push_back(entry_id(RecallEnd::read(body).withdrawal));
  } else if (kind == "complaint") {
    const Complaint complaint = Complaint::read(body);
    add_pieces(facts, complaint.batch, complaint.pieces);
  } else if (kind == "photograph") {
    facts.mentions.push_back(Photograph::read(body).batch);
  } else if (kind == "rules") {
    for (const Rule& rule : OwnRules::read(body).rules) make(facts, rule_id(rule.key), "rule");
  } else if (kind == "rescued") {
    facts = facts_of_rescued(Rescued::read(body));
  } else if (kind == "forget") {
    facts.mentions.push_back(person_id(Forgotten::read(body).person));
  } else {
    return {};
  }
  return facts;
}

Facts facts_of_known(std::string_view kind, const Json& body) {
  Facts facts;
  if (is_step(kind)) return facts_of_step(kind, body);
  if (auto told = facts_of_told(kind, body)) return std::move(*told);
  if (is_turn(kind)) return facts_of_turn(kind, body);
  if (kind == "mix") return facts_of_mix(body);
  if (kind == "workshop") {
    Workshop::read(body);
    make(facts, workshop_id, "workshop");
  } else if (kind == "worker") {
    const Worker worker = Worker::read(body);
    make(facts, worker_id(worker.id), "worker");
    facts.mentions.push_back(person_id(worker.person));
  } else if (kind == "place") {
    make(facts, place_id(Place::read(body).id), "place");
  } else if (kind == "species") {
    make(facts, species_id(species_from_json(body).id), "species");
  } else if (kind == "product") {
    make(facts, Product::read(body).id, "product");
  } else if (kind == "wood") {
    const WoodLot lot = WoodLot::read(body);
    make(facts, lot.id, "wood");
    facts.mentions.push_back(species_id(lot.species));
  } else if (kind == "tin") {
    const Tin tin = Tin::read(body);
    make(facts, tin.id, tin.stock);
    if (!tin.product.empty()) facts.mentions.push_back(tin.product);
  } else if (kind == "open") {
    facts.mentions.push_back(body.text("tin"));
  } else if (kind == "scrap") {
    const Scrap scrap = Scrap::read(body);
    add_pieces(facts, scrap.batch, scrap.pieces);
  } else if (kind == "statement") {
    facts.mentions.push_back(Statement::read(body).subject);
  } else if (kind == "batch") {
    return facts_of_batch(body);
  } else if (kind == "readings") {
    facts.mentions.push_back(place_id(Readings::read(0, body).place));
  } else if (kind == "rags-done") {
    const RagsDone done = RagsDone::read(body);
    facts.mentions.push_back(done.batch);
    for (const std::int64_t coat : done.coats) facts.mentions.push_back(entry_id(coat));
  } else if (kind == "note") {
    body.text("text");
    facts.mentions.push_back(body.text("about"));
  } else if (kind == "sign-off") {
    const SignOff sign_off = SignOff::read(body);
    add_pieces(facts, sign_off.batch, sign_off.pieces);
  } else if (kind == "give") {
    const Gift gift = Gift::read(body);
    add_pieces(facts, gift.batch, gift.pieces);
    if (!gift.person.empty()) facts.mentions.push_back(person_id(gift.person));
  } else {
    facts.mentions.push_back(entry_id(body.integer("entry")));
    body.text("why");
  }
  return facts;
}

std::string named(std::string_view what, std::string_view id) {
  return std::string(what).append(id);
}

}  // namespace

bool is_step(std::string_view kind) {
  return std::find(step_kinds.begin(), step_kinds.end(), kind) != step_kinds.end();
}

bool is_turn(std::string_view kind) { return kind == "split" || kind == "take-back"; }

bool is_amendment(std::string_view kind) { return kind == "correction" || kind == "strike"; }

std::vector<std::string_view> kinds() {
  std::vector<std::string_view> out(step_kinds.begin(), step_kinds.end());
  for (const auto& [kind, version] : other_kinds) out.emplace_back(kind);
  return out;
}

std::int64_t version_written(std::string_view kind) {
  if (is_step(kind)) return step_version;
  for (const auto& [name, version] : other_kinds)
    if (name == kind) return version;
  return 0;
}

std::int64_t corrected_version(const Json& correction, std::int64_t version) {
  return correction.maybe_integer("version").value_or(version);
}

Facts facts_of(std::string_view kind, std::int64_t version, const Json& body) {
  if (version < 1 || version > version_written(kind))
    throw Error::book(
        fmt::format("The book holds an entry of kind '{}', version {}, which this program does not "
                    "know; a newer "
                    "Trencher wrote it.",
                    kind, version));
  Facts facts = facts_of_known(kind, body);
  // Most come in their order: a batch, its pieces, what goes by a word.
  auto& mentions = facts.mentions;
  if (std::adjacent_find(mentions.begin(), mentions.end(), std::greater_equal<>()) !=
      mentions.end()) {
    std::sort(mentions.begin(), mentions.end());
    mentions.erase(std::unique(mentions.begin(), mentions.end()), mentions.end());
  }
  return facts;
}

std::string worker_id(std::int64_t worker) { return fmt::format("worker:{}", worker); }
std::string place_id(std::string_view place) { return named("place:", place); }
std::string species_id(std::string_view species) { return named("species:", species); }
std::string person_id(std::string_view person) { return named("person:", person); }
std::string rule_id(std::string_view rule) { return named("rule:", rule); }
std::string entry_id(std::int64_t number) { return fmt::format("entry:{}", number); }

Counted counted(std::string_view id) {
  std::size_t digits = 0;
  while (digits < id.size() && id[id.size() - 1 - digits] >= '0' &&
         id[id.size() - 1 - digits] <= '9')
    ++digits;
  if (digits == 0 || digits == id.size()) return {};
  Counted out{std::string(id.substr(0, id.size() - digits)), 0};
  std::from_chars(id.data() + out.prefix.size(), id.data() + id.size(), out.number);
  return out;
}

std::vector<std::string> piece_codes(std::string_view batch, const std::vector<int>& pieces) {
  std::vector<std::string> out;
  out.reserve(pieces.size());
  append_codes(out, batch, pieces);
  return out;
}

}  // namespace trencher::book
