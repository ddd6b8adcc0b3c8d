#include "commands/progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t least_width = 40, longest_bar = 40;
constexpr std::chrono::milliseconds pause{100};  // between two drawings

// Cut between two characters.
std::string cut(std::string text, std::size_t width) {
  if (display_width(text) <= width) return text;
  while (!text.empty() && display_width(text) + 1 > width) {
    while ((static_cast<unsigned char>(text.back()) & 0xC0) == 0x80) text.pop_back();
    text.pop_back();
  }
  return text + "…";
}

}  // namespace

std::string progress_text(std::string_view what, double part, std::size_t width) {
  const std::string name = cut(std::string(what), width / 2);
  const std::string bare = fmt::format("{}  []  {:3} %", name, static_cast<int>(part * 100));
  // A terminal may begin a new line as soon as its last column is written on.
  const std::size_t bar = std::min(longest_bar, width - 1 - display_width(bare));
  const auto full = static_cast<std::size_t>(part * static_cast<double>(bar));
  return fmt::format("{}  [{}{}]  {:3} %", name, std::string(full, '#'),
                     std::string(bar - full, '.'), static_cast<int>(part * 100));
}

Progress::Progress(std::ostream& to, std::size_t width, std::string what)
    : out_(to),
      width_(width),
      what_(std::move(what)),
      next_(std::chrono::steady_clock::now() + pause) {}

Progress::~Progress() { wipe(); }

void Progress::stretch(double from, double to) {
  from_ = from;
  until_ = to;
}

void Progress::at(std::uint64_t done, std::uint64_t of) {
  if (width_ < least_width || of == 0) return;
  const auto now = std::chrono::steady_clock::now();
  if (now < next_) return;
  next_ = now + pause;
  const double share = std::min(1.0, static_cast<double>(done) / static_cast<double>(of));
  const std::string text = progress_text(what_, from_ + (until_ - from_) * share, width_);
  out_ << '\r' << text << std::flush;
  drawn_ = display_width(text);
}

void Progress::wipe() {
  if (drawn_ == 0) return;
  out_ << '\r' << std::string(drawn_, ' ') << '\r' << std::flush;
  drawn_ = 0;
}

}  // namespace trencher::commands
