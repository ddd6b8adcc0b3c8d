// The mark of our papers: a band of glued strips, as many kinds as the board has woods.
#pragma once

#include "paper/document.h"

namespace trencher::paper {

// Fills `band` with two rows of strips, like the end of a board. The shades tell the woods apart;
// they do not say which wood is darker. No woods draw as one.
void draw_strips(Document& document, const Rect& band, int woods);

}  // namespace trencher::paper
