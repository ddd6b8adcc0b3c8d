#include "book/read_ahead.h"

namespace trencher::book {

ReadBody read_body(const Entry& entry) {
  ReadBody out;
  try {
    out.body = parse_body(entry.body);
    if (out.body.canonical() != entry.body) out.unlike = "not written as the book writes it";
    out.facts = facts_of(entry.kind, entry.kind_version, out.body);
  } catch (const std::exception& failure) {
    out.unreadable = failure.what();
  }
  return out;
}

}  // namespace trencher::book
