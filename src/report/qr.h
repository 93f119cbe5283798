#pragma once

#include <string>

#include "core/result.h"
#include "report/page.h"

namespace lastreach {

// The squares of a QR code, row by row; true is black.
struct QrSquares {
  int side = 0;
  std::vector<bool> black;  // size side * side
};

// Error correction level M: a quarter-inch splash of mud costs about 15 % of a code that is an inch wide.
// ERROR: kBadRequest if `text` is too long for any code.
// SOURCE: ISO/IEC 18004, through a library.
Result<QrSquares> QrOf(const std::string& text);

// Fills the square at `at`, leaving the four empty squares a reader needs on every side inside it.
void DrawQr(Canvas& canvas, Point at, double side_pt, const QrSquares& squares);

}  // namespace lastreach
