#include "paper/qr.h"

#include <qrencode.h>

#include <memory>
#include <vector>

#include "domain/error.h"

namespace trencher::paper {
namespace {

constexpr int quiet = 4;  // modules on each side, by the standard

// One rectangle for each run of dark modules in a row.
std::vector<Rect> dark_runs(const QRcode& code) {
  std::vector<Rect> runs;
  for (int row = 0; row < code.width; ++row)
    for (int column = 0; column < code.width; ++column) {
      const auto dark = [&](int at) {
        return at < code.width && (code.data[row * code.width + at] & 1) != 0;
      };
      const int start = column;
      while (dark(column)) ++column;
      if (column > start)
        runs.push_back({double(quiet + start), double(quiet + row), double(column - start), 1});
    }
  return runs;
}

}  // namespace

double draw_qr(Document& document, Point top_left, double side, const std::string& content) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
      QRcode_encodeString(content.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), &QRcode_free);
  if (!code) throw Error::request("The code \"" + content + "\" cannot be printed as a QR code.");
  const double module = side / (code->width + 2 * quiet);
  document.fill_cells(top_left, module, dark_runs(*code));
  return module;
}

}  // namespace trencher::paper
