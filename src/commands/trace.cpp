#include <fmt/format.h>

#include <unordered_map>

#include "book/amended.h"
#include "book/queries.h"
#include "commands/command.h"
#include "commands/losses.h"
#include "commands/output_file.h"
#include "commands/supply.h"
#include "commands/trace_tree.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "exchange/csv.h"

namespace trencher::commands {
namespace {

Json json_of(const std::vector<Node>& nodes) {
  Json out = Json::array();
  for (const Node& node : nodes) {
    Json row = Json::object();
    row.set("id", node.id).set("class", node.class_name).set("what", node.what);
    std::vector<std::int64_t> entries = node.entries;
    std::erase(entries, 0);  // lost
    row.set("entries", Json::list(entries));
    out.push(row.set("nodes", json_of(node.nodes)));
  }
  return out;
}

Json json_of(Call& call, const Trace& trace) {
  Json out = Json::object()
                 .set("id", trace.id)
                 .set("class", trace.class_name)
                 .set("before", json_of(trace.before))
                 .set("after", json_of(trace.after));
  if (const engine::Losses losses = all_losses(call); losses.any())
    out.set("lost", losses.sentence());
  return out;
}

// The same as flat rows. `parent` is the id on the row above it; what is no thing has none.
using Cells = std::vector<std::string>;

// The day of each entry, read once.
class Days {
 public:
  explicit Days(const book::Book& book) : book_(book) {}
  const std::string& of(std::int64_t entry) {
    std::string& day = known_[entry];
    if (day.empty()) day = iso(local_day(*book::happened_at(book_, entry)));
    return day;
  }

 private:
  const book::Book& book_;
  std::unordered_map<std::int64_t, std::string> known_;
};

void add_rows(Days& days_of, const std::vector<Node>& nodes, const Cells& head, int depth,
              const std::string& parent, std::string& out) {
  for (const Node& node : nodes) {
    Cells row = head, entries, days;
    for (std::size_t i = 0; i < node.entries.size(); ++i) {
      const std::int64_t number = node.entries[i];
      if (number == 0) continue;  // lost
      entries.push_back(std::to_string(number));
      days.push_back(node.at.empty() ? days_of.of(number) : iso(local_day(node.at[i])));
    }
    for (const std::string& cell : {std::to_string(depth), parent, node.id, node.class_name,
                                    node.what, join(entries, " "), join(days, " ")})
      row.push_back(cell);
    out += exchange::sheet_record(row);
    add_rows(days_of, node.nodes, head, depth + 1, node.id, out);
  }
}

std::string sheet_head() {
  return exchange::sheet_record(
      Cells{"of", "direction", "depth", "parent", "id", "class", "what", "entries", "happened_on"});
}

std::string sheet_of(Call& call, const std::vector<Trace>& traces) {
  std::string out = sheet_head();
  Days days(call.book());
  for (const Trace& trace : traces) {
    add_rows(days, trace.before, {trace.id, "before"}, 1, trace.id, out);
    add_rows(days, trace.after, {trace.id, "after"}, 1, trace.id, out);
  }
  return out;
}

void print(Call& call, const std::vector<Node>& nodes, std::size_t depth) {
  for (const Node& node : nodes) {
    std::vector<std::string> entries;
    for (const std::int64_t entry : node.entries)
      if (entry) entries.push_back(std::to_string(entry));
    const bool by_entry = node.id.starts_with("entry ");
    std::string text = by_entry ? node.what : join(split(node.id + " " + node.what, ' '), " ");
    if (!entries.empty())
      text +=
          fmt::format(" [{} {}]", entries.size() == 1 ? "entry" : "entries", join(entries, ", "));
    call.say_list(std::string(2 * depth, ' ') + "-", text);
    print(call, node.nodes, depth + 1);
  }
}

void print(Call& call, const Trace& trace) {
  call.say(fmt::format("{} ({}). What went into it:", trace.id, trace.class_name));
  print(call, trace.before, 1);
  if (trace.before.empty()) call.say_list("  -", "nothing that is recorded");
  call.say("What came of it:");
  print(call, trace.after, 1);
  if (trace.after.empty()) call.say_list("  -", "nothing yet");
}

}  // namespace

int trace(Call& call) {
  std::string code, output;
  bool csv = false;
  SupplyOptions supply;
  call.word("CODE", code, "a piece, batch, tin, thing, wood lot or product");
  supply.declare(call);
  call.flag("--csv", csv, "rows for a spreadsheet program, on the output or with -o in a file");
  call.option("-o", "FILE", output, "the CSV file to write");
  call.parse();
  supply.check(code.empty() ? std::vector<std::string>{} : std::vector{code});
  if (csv && call.json()) throw Error::request("--csv and --json both write to the output.");
  SupplySearch found;
  if (supply.given())
    found = supply.need(call);
  else
    call.need(code, "CODE", "What to trace");
  std::vector<Trace> traces;
  for (const std::string& id : supply.given() ? ids_of_supplies(found.same) : std::vector{code})
    traces.push_back(trace_of(call, id));
  if (csv || !output.empty()) {
    const std::string sheet = sheet_of(call, traces);
    if (output.empty()) {
      call.out() << sheet;
      return 0;
    }
    const std::filesystem::path path = need_csv_path(call, output, sheet_head());
    write_file_whole(path, sheet);
    if (!call.json()) call.say(fmt::format("Written to {}.", path.string()));
    return call.done(Json::object().set("file", path.string()));
  }
  if (call.json()) {
    if (!supply.given()) return call.done(json_of(call, traces.front()));
    Json all = Json::array();
    for (const Trace& trace : traces) all.push(json_of(call, trace));
    return call.done(Json::object()
                         .set("supplier", supply.supplier)
                         .set("lot", supply.lot)
                         .set("traces", std::move(all))
                         .set("alike", Json::list(ids_of_supplies(found.alike))));
  }
  for (const Trace& trace : traces) print(call, trace);
  say_losses(call);
  for (const Supply& alike : found.alike)
    call.say_list("Looks alike, not traced:", supply_words(alike) + ".");
  return 0;
}

}  // namespace trencher::commands
