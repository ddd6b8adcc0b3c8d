#include "paper/qr.h"

#include <qrencode.h>

#include <memory>

#include "domain/error.h"

namespace trencher::paper {
namespace {

constexpr int quiet = 4;  // modules on each side, by the standard

}  // namespace

QrCode::QrCode(const std::string& content) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
      QRcode_encodeString(content.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), &QRcode_free);
  if (!code) throw Error::request("The code \"" + content + "\" cannot be printed as a QR code.");
  width_ = code->width + 2 * quiet;
  for (int row = 0; row < code->width; ++row)
    for (int column = 0; column < code->width; ++column) {
      const auto dark = [&](int at) {
        return at < code->width && (code->data[row * code->width + at] & 1) != 0;
      };
      const int start = column;
      while (dark(column)) ++column;
      if (column > start)
        dark_.push_back({double(quiet + start), double(quiet + row), double(column - start), 1});
    }
}

double QrCode::draw(Document& document, Point top_left, double side) const {
  const double module = side / width_;
  document.fill_cells(top_left, module, dark_);
  return module;
}

}  // namespace trencher::paper
