#include "book/state.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <deque>
#include <future>
#include <system_error>
#include <utility>

#include "book/kinds.h"
#include "book/tables_in_book.h"
#include "domain/embedded.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

// WITH touched(id): ?1, a JSON list of ids, and every batch, tin and lot that they reach.
constexpr const char* reaching =
    "WITH RECURSIVE touched(id) AS ("
    "  SELECT value FROM json_each(?1)"
    "  UNION"
    "  SELECT reach.reached FROM touched JOIN reach ON reach.id = touched.id"
    "    JOIN thing ON thing.id = reach.reached)";

}  // namespace

Entry read_entry(const Row& row) {
  Entry out;
  read_entry(row, out);
  return out;
}

void read_entry(const Row& row, Entry& out) {
  try {
    out.number = row.number(0);
    const std::int64_t offset = row.number(2);
    if (std::abs(offset) >= 24 * std::int64_t{60})
      throw Error::book(fmt::format("{} minutes is no offset from UTC.", offset));
    out.happened = {instant_from_iso(row.view(1)), static_cast<int>(offset)};
    out.written_at = instant_from_iso(row.view(3));
    out.written_by = row.number(4);
    out.kind = row.view(5);
    out.kind_version = row.number(6);
    out.body = row.view(7);
    out.hash = row.view(8);
  } catch (const Error& failure) {
    throw Error::book(fmt::format("Entry {} cannot be read: {}", row.number(0), failure.what()));
  }
}

Touched touched_by(Sql& sql, std::int64_t number, const Json* body) {
  const Ground ground = ground_of(
      sql, number,
      [&](std::int64_t target) {
        std::vector<std::int64_t> out;
        sql.each(
            "SELECT entry FROM mention WHERE id = ? AND kind = 'correction' ORDER BY entry",
            [&](const Row& row) { out.push_back(row.number(0)); }, entry_id(target));
        return out;
      },
      body);
  return touched_by(ground.ids);
}

Touched touched_by(const std::vector<std::string>& ids) {
  return {reaching, Json::list(ids).text()};
}

State::State(Sql& sql, std::string schema) : sql_(sql), schema_(std::move(schema)) {}

const std::vector<std::string>& State::tables() {
  static const std::vector<std::string> names{
      "amended", "thing",     "reach",      "mention",       "piece",     "open_batch",
      "tin_use", "open_rags", "made_wrong", "readings_span", "noted_air", "counter"};
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
    return rebuild();  // it reaches back; linear, and rare
  const Json body = parse_body(entry.body);
  const Facts facts = facts_of(entry.kind, entry.kind_version, body);
  TablesInBook tables(sql_);
  Folding folding(tables);
  folding.speak(entry, facts, false);
  folding.apply(entry, body, entry.happened, facts);
}

void State::rebuild() {
  for (const std::string& name : tables()) sql_.run("DELETE FROM " + schema_ + "." + name);
  StateRows rows(sql_, schema_);
  fold_journal(sql_, rows.use());
  rows.finish();
}

void fold_journal(Sql& sql, const TablesInMemory::Use& use) {
  Fold fold(sql, amendments(sql).all(), rescues(sql), use);
  const std::int64_t entries =
      sql.rebuild_watch ? sql.number("SELECT max(number) FROM main.entry").value_or(0) : 0;
  sql.each(std::string("SELECT ") + entry_columns + " FROM main.entry ORDER BY number",
           [&](const Row& row) {
             if (sql.rebuild_watch) sql.rebuild_watch(row.number(0), entries);
             const Entry entry = read_entry(row);
             const Json body = parse_body(entry.body);
             fold.take(entry, body, facts_of(entry.kind, entry.kind_version, body));
           });
  fold.finish();
}

// Mentions come in the order of entries and are kept in that of ids: put in by the million, sorted,
// most of them find their page in memory.
class StateRows::Mentions {
 public:
  explicit Mentions(InsertMany& insert) : insert_(insert) {}

  void take(std::span<const Value> row) {
    const std::string_view id = std::get<std::string_view>(row[0]);
    const std::string_view kind = std::get<std::string_view>(row[2]);
    // Those of one entry come one after another.
    if (kinds_.empty() || kinds_[last_kind_] != kind) {
      const auto known = std::find(kinds_.begin(), kinds_.end(), kind);
      last_kind_ = static_cast<std::uint16_t>(known - kinds_.begin());
      if (known == kinds_.end()) kinds_.emplace_back(kind);
    }
    held_.push_back({{beginning(id, 0), beginning(id, 8)},
                     std::get<std::int64_t>(row[1]),
                     static_cast<std::uint32_t>(texts_.size()),
                     static_cast<std::uint32_t>(id.size()),
                     last_kind_,
                     std::get<std::int64_t>(row[3]) != 0});
    texts_ += id;
    if (held_.size() == most || texts_.size() >= most_text) put();
  }

  // While other tables are written.
  void sort_meanwhile() {
    try {
      sorting_ = std::async(std::launch::async, [this] { sort(); });
    } catch (const std::system_error&) {
      // No thread is to be had: put() sorts.
    }
  }

  void put() {
    if (sorting_.valid())
      sorting_.get();
    else
      sort();
    for (const Mention& one : held_)
      insert_.lasting_row(
          {text(one), one.entry, std::string_view(kinds_[one.kind]), std::int64_t{one.struck}});
    insert_.finish();
    held_.clear();
    texts_.clear();
  }

 private:
  static constexpr std::size_t most = 1'000'000;  // 40 MB, and the ids themselves
  static constexpr std::size_t most_text = 64'000'000;
  struct Mention {
    std::array<std::uint64_t, 2> beginning{};  // of the id; in most cases the whole
    std::int64_t entry = 0;
    std::uint32_t begin = 0, size = 0;  // of the id in texts_
    std::uint16_t kind = 0;             // in kinds_
    bool struck = false;
  };

  // Eight bytes as a number that has the order of their text.
  static std::uint64_t beginning(std::string_view id, std::size_t from) {
    std::uint64_t out = 0;
    for (std::size_t i = from; i < from + 8; ++i)
      out = out << 8 | (i < id.size() ? static_cast<unsigned char>(id[i]) : 0U);
    return out;
  }

  std::string_view text(const Mention& one) const {
    return std::string_view(texts_).substr(one.begin, one.size);
  }

  void sort() {
    std::sort(held_.begin(), held_.end(), [this](const Mention& a, const Mention& b) {
      if (a.beginning != b.beginning) return a.beginning < b.beginning;
      if (const int order = text(a).compare(text(b))) return order < 0;
      return a.entry < b.entry;
    });
  }

  InsertMany& insert_;
  std::vector<Mention> held_;
  std::string texts_;
  std::deque<std::string> kinds_;
  std::uint16_t last_kind_ = 0;
  std::future<void> sorting_;  // the last, so that it ends before what it uses
};

StateRows::StateRows(Sql& sql, std::string schema)
    : sql_(sql),
      schema_(std::move(schema)),
      mentions_(std::make_unique<Mentions>(into("mention"))) {}

StateRows::~StateRows() = default;

InsertMany& StateRows::into(std::string_view table) {
  const auto known = inserts_.find(table);
  if (known != inserts_.end()) return known->second;
  const auto columns =
      sql_.number(fmt::format("SELECT count(*) FROM pragma_table_info('{}')", table));
  return inserts_
      .try_emplace(std::string(table), sql_, fmt::format("{}.{}", schema_, table),
                   static_cast<int>(columns.value_or(0)))
      .first->second;
}

TablesInMemory::Use StateRows::use() {
  return [this](std::string_view table, std::span<const Value> row) {
    if (table == "mention")
      mentions_->take(row);
    else
      into(table).row(row);
  };
}

void StateRows::entries_are_over() { mentions_->sort_meanwhile(); }

void StateRows::finish() {
  mentions_->put();
  for (auto& [table, insert] : inserts_) insert.finish();
}

}  // namespace trencher::book
