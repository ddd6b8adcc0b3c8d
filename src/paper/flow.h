// Text, tables and pictures one below the other, on as many pages as it takes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "paper/document.h"
#include "paper/text.h"

namespace trencher::paper {

struct Margins {
  double top = 22;
  double bottom = 18;
  double side = 16;
};

class Flow {
 public:
  // Starts on a new page.
  Flow(Document& document, const Margins& margins);

  Document& document() { return document_; }
  const Document& document() const { return document_; }
  double left() const { return margins_.side; }
  double width() const { return document_.sheet().width - 2 * margins_.side; }
  double page_height() const { return document_.sheet().height - margins_.top - margins_.bottom; }
  double room() const { return document_.sheet().height - margins_.bottom - y_; }
  double y() const { return y_; }

  void new_page();
  void need(double height);  // a new page where there is less room
  void skip(double height) { y_ += height; }

  // Takes that much of one page. Error request, naming `what`, where no page is so high.
  Rect take(double height, const std::string& what);

  void paragraph(std::string_view text, const Style& style);
  // Keeps `following` mm of what comes next on the same page.
  void heading(std::string_view text, double following = 14);

 private:
  Document& document_;
  Margins margins_;
  double y_ = 0;
};

}  // namespace trencher::paper
