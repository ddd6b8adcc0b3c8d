#include "book/entry_line.h"

#include <fmt/format.h>

#include "domain/error.h"

namespace trencher::book {

Json line_of(const Entry& entry) {
  Json out = Json::object();
  out.set("number", entry.number).set("happened_at", iso(entry.happened.at));
  out.set("happened_offset", entry.happened.offset_minutes)
      .set("written_at", iso(entry.written_at));
  out.set("written_by", entry.written_by).set("kind", entry.kind);
  return out.set("kind_version", entry.kind_version)
      .set("body", entry.body)
      .set("hash", entry.hash);
}

Entry entry_from_line(const Json& line) {
  const std::int64_t offset = line.integer("happened_offset");
  if (offset <= -24 * 60 || offset >= 24 * 60)
    throw Error::book(fmt::format("{} minutes is no offset from UTC.", offset));
  return {line.integer("number"),
          {instant_from_iso(line.text("happened_at")), static_cast<int>(offset)},
          instant_from_iso(line.text("written_at")),
          line.integer("written_by"),
          line.text("kind"),
          line.integer("kind_version"),
          line.text("body"),
          line.text("hash")};
}

}  // namespace trencher::book
