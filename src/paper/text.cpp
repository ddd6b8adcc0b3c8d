#include "paper/text.h"

#include <fmt/format.h>

#include "domain/error.h"
#include "domain/text.h"
#include "paper/characters.h"
#include "paper/together.h"

namespace trencher::paper {
namespace {

constexpr double mm_per_point = 25.4 / 72;

// Heights in sizes of the font, from the DejaVu Sans tables: ascender 1901 / 2048, x-height 1120 /
// 2048.
constexpr double ascent = 0.928;
constexpr double x_height = 0.547;

// Measuring sums rounded advances; this much over the width is not seen.
constexpr double tolerance = 1e-6;

std::vector<std::string_view> words(std::string_view text) {
  std::vector<std::string_view> out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    if (end > 0) out.push_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

// Words, and as one of them those that stand together where a line has room for them.
std::vector<std::string> pieces(const Document& document, std::string_view text, Font font,
                                double width) {
  std::vector<std::string> out;
  std::string_view before;
  for (const std::string_view word : words(text)) {
    if (stand_together(before, word)) {
      std::string joined = fmt::format("{} {}", out.back(), word);
      if (document.width(joined, font) <= width + tolerance) {
        out.back() = std::move(joined);
        before = word;
        continue;
      }
    }
    out.emplace_back(word);
    before = word;
  }
  return out;
}

// The longest beginning of a word that fits, at least one character. An address breaks behind one
// of its marks where there is one.
std::size_t fitting_bytes(const Document& document, std::string_view word, Font font,
                          double width) {
  std::size_t bytes = 0, mark = 0;
  double used = 0;
  for (const Character& c : characters(word)) {
    used += document.width(c.bytes, font);
    if (bytes > 0 && used > width + tolerance) return mark > 0 ? mark : bytes;
    bytes += c.bytes.size();
    if (c.bytes == "@" || c.bytes == "." || c.bytes == "/" || c.bytes == "-") mark = bytes;
  }
  return bytes;
}

// Moves one word down to a lonely last word.
void mend_widow(const Document& document, std::vector<std::string>& lines, Font font,
                double width) {
  if (lines.size() < 2 || lines.back().find(' ') != std::string::npos) return;
  std::string& above = lines[lines.size() - 2];
  const std::size_t space = above.rfind(' ');
  if (space == std::string::npos || above.rfind(' ', space - 1) == std::string::npos) return;
  const std::size_t start = above.rfind(' ', space - 1) + 1;
  const std::string_view moved = std::string_view(above).substr(space + 1);
  if (stand_together(std::string_view(above).substr(start, space - start), moved)) return;
  const std::string joined = above.substr(space + 1) + " " + lines.back();
  if (document.width(joined, font) > width + tolerance) return;
  above.resize(space);
  lines.back() = joined;
}

}  // namespace

double Style::line_height() const { return font.points * leading * mm_per_point; }

std::vector<std::string> break_lines(const Document& document, std::string_view text, Font font,
                                     double width) {
  std::vector<std::string> lines;
  const double space = document.width(" ", font);
  std::string line;
  double used = 0;
  const std::string safe = shown(text);
  for (const std::string& piece : pieces(document, safe, font, width)) {
    std::string_view word = piece;
    double word_width = document.width(word, font);
    if (!line.empty() && used + space + word_width <= width + tolerance) {
      line.append(" ").append(word);
      used += space + word_width;
      continue;
    }
    if (!line.empty()) lines.push_back(line);
    while (word_width > width + tolerance) {
      const std::size_t bytes = fitting_bytes(document, word, font, width);
      if (bytes == word.size()) break;  // a single character wider than the line
      lines.emplace_back(word.substr(0, bytes));
      word.remove_prefix(bytes);
      word_width = document.width(word, font);
    }
    line = word;
    used = word_width;
  }
  if (!line.empty()) lines.push_back(line);
  mend_widow(document, lines, font, width);
  return lines;
}

double draw_lines(Document& document, Point top, const std::vector<std::string>& lines,
                  const Style& style, bool struck) {
  const double size = style.font.points * mm_per_point;
  // The extra leading is shared above and below the letters.
  double baseline = top.y + style.line_height() / 2 + size * (ascent - 0.5);
  // Half-way between the tops of small letters and their baseline is legible and plainly struck.
  for (const std::string& line : lines) {
    document.text({top.x, baseline}, line, style.font, style.grey);
    if (struck) {
      const double y = baseline - size * x_height / 2;
      document.line({top.x, y}, {top.x + document.width(line, style.font), y},
                    {0.2, style.grey, {}});
    }
    baseline += style.line_height();
  }
  return top.y + static_cast<double>(lines.size()) * style.line_height();
}

void draw_right(Document& document, Point baseline, std::string_view text, Font font) {
  document.text({baseline.x - document.width(text, font), baseline.y}, text, font);
}

void draw_centred(Document& document, Point baseline, std::string_view text, Font font) {
  document.text({baseline.x - document.width(text, font) / 2, baseline.y}, text, font);
}

void refuse_excess(const std::string& what, double excess, std::string_view way) {
  throw Error::request(
      fmt::format("{} does not fit: it is {:.1f} mm too {}. Nothing is cut off, so "
                  "shorten it.",
                  what, excess, way));
}

void draw_fitting(Document& document, Point baseline, std::string_view text, Font font, double room,
                  const std::string& what) {
  const double excess = document.width(text, font) - room;
  if (excess > tolerance) refuse_excess(what, excess, "wide");
  document.text(baseline, text, font);
}

}  // namespace trencher::paper
