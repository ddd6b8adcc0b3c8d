#include "commands/logger_time.h"

#include <fmt/format.h>

#include <charconv>

#include "domain/text.h"
#include "domain/time.h"

namespace trencher::commands {
namespace {

class Cursor {
 public:
  explicit Cursor(std::string_view text) : rest_(text) {}
  bool done() const { return rest_.empty(); }
  char peek() const { return rest_.empty() ? '\0' : rest_.front(); }
  bool take(char wanted) {
    if (peek() != wanted) return false;
    rest_.remove_prefix(1);
    return true;
  }
  void blanks() {
    while (take(' ')) {
    }
  }
  // As many digits as there are, `least` to `most`.
  std::optional<int> number(std::size_t least, std::size_t most, std::size_t* length = nullptr) {
    std::size_t digits = 0;
    while (digits < rest_.size() && rest_[digits] >= '0' && rest_[digits] <= '9') ++digits;
    if (digits < least || digits > most) return {};
    int value = 0;
    std::from_chars(rest_.data(), rest_.data() + digits, value);
    rest_.remove_prefix(digits);
    if (length) *length = digits;
    return value;
  }
  std::string_view rest() const { return rest_; }
  void drop(std::size_t count) { rest_.remove_prefix(count); }

 private:
  std::string_view rest_;
};

bool read_date(Cursor& in, WrittenTime& out) {
  std::size_t first = 0, third = 0;
  const auto a = in.number(1, 4, &first);
  const char mark = in.peek();
  if (!a || first == 3 || (mark != '-' && mark != '/' && mark != '.') || !in.take(mark))
    return false;
  const auto b = in.number(1, 2);
  if (!b || !in.take(mark)) return false;
  const auto c = in.number(1, 4, &third);
  out.year_first = first == 4;
  if (!c || (out.year_first ? third > 2 : third != 4 && third != 2)) return false;
  out.first = *a;
  out.second = *b;
  out.third = !out.year_first && third == 2 ? 2000 + *c : *c;
  out.dotted = mark == '.' && !out.year_first;
  return true;
}

bool read_clock(Cursor& in, WrittenTime& out) {
  const auto h = in.number(1, 2);
  if (!h || !in.take(':')) return false;
  const auto m = in.number(2, 2);
  if (!m) return false;
  out.hour = *h;
  out.minute = *m;
  if (in.take(':')) {
    const auto s = in.number(2, 2);
    if (!s) return false;
    out.seconds = *s;
    if (in.take('.') && !in.number(1, 9)) return false;
  }
  in.blanks();
  const std::string half = lower_ascii(in.rest().substr(0, 2));
  if (half == "am" || half == "pm") {
    if (out.hour < 1 || out.hour > 12) return false;
    out.hour = out.hour % 12 + (half == "pm" ? 12 : 0);
    in.drop(2);
  }
  return out.hour < 24 && out.minute < 60 && out.seconds < 60;
}

bool read_offset(Cursor& in, WrittenTime& out) {
  if (in.take('Z') || in.take('z')) {
    out.offset = "Z";
    return true;
  }
  const char sign = in.peek();
  if (sign != '+' && sign != '-') return true;
  in.take(sign);
  const auto h = in.number(2, 2);
  if (!h || !in.take(':')) return false;
  const auto m = in.number(2, 2);
  if (!m || *h > 14 || *m > 59) return false;
  out.offset = fmt::format("{}{:02}:{:02}", sign, *h, *m);
  return true;
}

}  // namespace

std::optional<WrittenTime> read_written_time(std::string_view text) {
  Cursor in(text);
  WrittenTime out;
  in.blanks();
  if (!read_date(in, out)) return {};
  in.take(',');
  if (!in.take('T') && in.peek() != ' ') return {};
  in.blanks();
  if (!read_clock(in, out) || !read_offset(in, out)) return {};
  in.blanks();
  return in.done() ? std::optional(out) : std::nullopt;
}

std::optional<std::chrono::local_seconds> local_time(const WrittenTime& time, DateOrder order) {
  using namespace std::chrono;
  const bool day_first = time.dotted || order == DateOrder::day_first;
  const int written_year = time.year_first ? time.first : time.third;
  const int written_month = time.year_first || day_first ? time.second : time.first;
  const int written_day = time.year_first ? time.third : day_first ? time.first : time.second;
  const year_month_day date{year(written_year), month(static_cast<unsigned>(written_month)),
                            day(static_cast<unsigned>(written_day))};
  if (!date.ok()) return {};
  return local_days(date) + hours(time.hour) + minutes(time.minute) + seconds(time.seconds);
}

std::optional<std::string> iso_text(const WrittenTime& time, DateOrder order) {
  const auto local = local_time(time, order);
  if (!local) return {};
  std::string out = iso(Instant(local->time_since_epoch()));
  out.pop_back();  // the Z
  return out + time.offset;
}

}  // namespace trencher::commands
