// Paragraphs: breaking text into lines by measured width, and drawing the lines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "paper/document.h"

namespace trencher::paper {

// How a paragraph looks.
struct Style {
  Font font;
  double leading = 1.3;  // from baseline to baseline, in sizes of the font
  double grey = 0;

  double line_height() const;  // mm
};

// Lines no wider than `width` mm. Breaks at spaces only: words are not hyphenated, and a no-break
// space (U+00A0) holds, as do the spaces of a date or before a lot number where a line has room for
// it (together.h). Only a word wider than a whole line is split: behind one of @ . / - in it,
// else between characters. A last line of one word takes the word before it along where that leaves
// two words above. Empty text has no line.
std::vector<std::string> break_lines(const Document& document, std::string_view text, Font font,
                                     double width);

// Draws lines downwards from `top` and returns where the next would begin. Struck lines are drawn
// through.
double draw_lines(Document& document, Point top, const std::vector<std::string>& lines,
                  const Style& style, bool struck = false);

// One line, with its right end or its middle at `baseline`.
void draw_right(Document& document, Point baseline, std::string_view text, Font font);
void draw_centred(Document& document, Point baseline, std::string_view text, Font font);

// Error request: `what` does not fit and is `excess` mm too high (or too wide, as `way` says).
[[noreturn]] void refuse_excess(const std::string& what, double excess, std::string_view way);

// Draws on one line of at most `room` mm, or throws as refuse_excess.
void draw_fitting(Document& document, Point baseline, std::string_view text, Font font, double room,
                  const std::string& what);

}  // namespace trencher::paper
