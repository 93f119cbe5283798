#include "report/qr.h"

#include <qrcodegen/qrcodegen.hpp>

#include <stdexcept>

namespace lastreach {
namespace {

constexpr int kQuietSquares = 4;

}  // namespace

Result<QrSquares> QrOf(const std::string& text) {
  try {
    const auto code = qrcodegen::QrCode::encodeText(text.c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
    QrSquares squares;
    squares.side = code.getSize();
    for (int y = 0; y < squares.side; ++y) {
      for (int x = 0; x < squares.side; ++x) squares.black.push_back(code.getModule(x, y));
    }
    return squares;
  } catch (const std::length_error&) {
    return BadRequest("an address of " + std::to_string(text.size()) + " letters is too long for a QR code");
  }
}

void DrawQr(Canvas& canvas, Point at, double side_pt, const QrSquares& squares) {
  const double square_pt = side_pt / (squares.side + 2 * kQuietSquares);
  const auto is_black = [&](int x, int y) {
    return x < squares.side &&
           squares.black[static_cast<size_t>(y) * static_cast<size_t>(squares.side) + static_cast<size_t>(x)];
  };
  // Whole stretches of black, a hair higher than a square: viewers would show white seams between them.
  const double height_pt = square_pt * 1.02;
  for (int y = 0; y < squares.side; ++y) {
    for (int x = 0; x < squares.side; ++x) {
      if (!is_black(x, y)) continue;
      const int first = x;
      while (is_black(x + 1, y)) ++x;
      canvas.Fill({at.x_pt + (first + kQuietSquares) * square_pt, at.y_pt + (y + kQuietSquares) * square_pt},
                  (x - first + 1) * square_pt, height_pt, kBlack);
    }
  }
}

}  // namespace lastreach
