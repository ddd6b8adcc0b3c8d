#include "book/read_ahead.h"

#include <utility>

#include "domain/json_canonical.h"

namespace trencher::book {

ReadBody read_body(const Entry& entry) {
  ReadBody out;
  try {
    if (auto body = read_canonical(entry.body)) {
      out.body = std::move(*body);
    } else {
      out.body = parse_body(entry.body);
      if (out.body.canonical() != entry.body) out.unlike = "not written as the book writes it";
    }
    out.facts = facts_of(entry.kind, entry.kind_version, out.body);
  } catch (const std::exception& failure) {
    out.unreadable = failure.what();
  }
  return out;
}

}  // namespace trencher::book
