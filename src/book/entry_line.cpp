#include "book/entry_line.h"

#include <fmt/format.h>

#include <charconv>
#include <utility>

#include "domain/error.h"
#include "domain/json_canonical.h"
#include "domain/text.h"

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

namespace {

void check_offset(std::int64_t minutes) {
  if (minutes <= -24 * std::int64_t{60} || minutes >= 24 * std::int64_t{60})
    throw Error::book(fmt::format("{} minutes is no offset from UTC.", minutes));
}

// Takes what is awaited from the front of a line; from the first that stands otherwise, it fails.
class Line {
 public:
  explicit Line(std::string_view left) : left_(left) {}

  void word(std::string_view wanted) {
    good_ = good_ && left_.starts_with(wanted);
    if (good_) left_.remove_prefix(wanted.size());
  }

  std::int64_t number() {
    std::int64_t out = 0;
    const auto [end, error] = std::from_chars(left_.data(), left_.data() + left_.size(), out);
    const std::string_view digits(left_.data(), end);
    // Of at most 15 digits, and none that from_chars() takes and JSON does not.
    good_ = good_ && error == std::errc() && digits.size() <= 15 && !digits.starts_with("-0") &&
            (digits.size() == 1 || digits[0] != '0');
    if (good_) left_.remove_prefix(digits.size());
    return out;
  }

  std::string text() {
    std::string out;
    bool beyond_ascii = false;  // the whole line is looked at
    const char* at = left_.data();
    good_ = good_ && take_string(at, left_.data() + left_.size(), out, beyond_ascii);
    if (good_) left_.remove_prefix(static_cast<std::size_t>(at - left_.data()));
    return out;
  }

  bool is_whole() const { return good_ && left_.empty(); }

 private:
  std::string_view left_;
  bool good_ = true;
};

}  // namespace

Entry entry_from_line(const Json& line) {
  const std::int64_t offset = line.integer("happened_offset");
  check_offset(offset);
  return {line.integer("number"),
          {instant_from_iso(line.text("happened_at")), static_cast<int>(offset)},
          instant_from_iso(line.text("written_at")),
          line.integer("written_by"),
          line.text("kind"),
          line.integer("kind_version"),
          line.text("body"),
          line.text("hash")};
}

std::optional<Entry> read_entry_line(std::string_view text) {
  Line line(text);
  line.word("{\"number\":");
  const std::int64_t number = line.number();
  line.word(",\"happened_at\":");
  const std::string happened_at = line.text();
  line.word(",\"happened_offset\":");
  const std::int64_t offset = line.number();
  line.word(",\"written_at\":");
  const std::string written_at = line.text();
  line.word(",\"written_by\":");
  const std::int64_t written_by = line.number();
  line.word(",\"kind\":");
  std::string kind = line.text();
  line.word(",\"kind_version\":");
  const std::int64_t kind_version = line.number();
  line.word(",\"body\":");
  std::string body = line.text();
  line.word(",\"hash\":");
  std::string hash = line.text();
  line.word("}");
  if (!line.is_whole() || !is_utf8(text)) return {};
  check_offset(offset);
  return Entry{number,
               {instant_from_iso(happened_at), static_cast<int>(offset)},
               instant_from_iso(written_at),
               written_by,
               std::move(kind),
               kind_version,
               std::move(body),
               std::move(hash)};
}

}  // namespace trencher::book
