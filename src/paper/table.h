// Tables that run over pages, with their headings repeated.
#pragma once

#include <string>
#include <vector>

#include "paper/flow.h"

namespace trencher::paper {

struct Column {
  std::string heading;
  double share = 1;  // of the width, against the other columns
};

// A paragraph of a cell.
struct CellText {
  std::string text;
  Face face = Face::regular;
  bool struck = false;
};

using Cell = std::vector<CellText>;
using Row = std::vector<Cell>;  // as many cells as columns

// A row stays on one page unless it is higher than a page; then it goes on overleaf, line by line.
// Without any heading no heading is drawn.
void draw_table(Flow& flow, const std::vector<Column>& columns, const std::vector<Row>& rows);

}  // namespace trencher::paper
