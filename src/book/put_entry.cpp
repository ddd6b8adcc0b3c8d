#include "book/put_entry.h"

namespace trencher::book {

void put_entry(Sql& sql, const Entry& entry) {
  sql.run("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", entry.number,
          iso(entry.happened.at), entry.happened.offset_minutes, iso(entry.written_at),
          entry.written_by, entry.kind, entry.kind_version, entry.body, entry.hash);
}

void PutEntries::put(const Entry& entry) {
  const std::string happened_at = iso(entry.happened.at), written_at = iso(entry.written_at);
  insert_.row({entry.number, happened_at, std::int64_t{entry.happened.offset_minutes}, written_at,
               entry.written_by, entry.kind, entry.kind_version, entry.body, entry.hash});
}

void allowing_gaps(Sql& sql, const std::function<void()>& work) {
  const std::string trigger =
      sql.text("SELECT sql FROM sqlite_master WHERE name = 'entry_is_appended'").value();
  sql.script("DROP TRIGGER entry_is_appended");
  work();
  sql.script(trigger);
}

}  // namespace trencher::book
