#include "paper/plain_text.h"

#include "domain/text.h"

namespace trencher::paper {

void append_wrapped(std::string& out, std::string_view text, std::string_view first,
                    std::string_view next) {
  for (const std::string& line : wrap(shown(text), mail_columns - first.size())) {
    out.append(first).append(line).append("\n");
    first = next;
  }
}

}  // namespace trencher::paper
