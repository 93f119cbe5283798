#pragma once

#include <string>

#include "core/civil_time.h"

namespace lastreach {

enum class Paper { kA5, kHalfLetter, kA4, kLetter };

// Which units and words a sheet speaks. Pages hold both nowhere: one number, one unit.
enum class SheetUnits {
  kUs,      // gal, gpm, ft, in; "program", "July 1, 2026"
  kMetric,  // L, m3, L/s, m, mm; "programme", "1 July 2026"
};

// Width and height of a sheet of paper held upright, in points of 1/72 in.
struct PaperSize {
  double width_pt = 0;
  double height_pt = 0;
};

// SOURCE: ISO 216 (A5 148 x 210 mm, A4 210 x 297 mm); letter 8.5 x 11 in, half-letter 5.5 x 8.5 in (ANSI
// Y14.1 size A and half of it).
PaperSize SizeOf(Paper paper);

// What is the same for every sheet of one printing.
struct SheetOptions {
  Paper paper = Paper::kA5;
  SheetUnits units = SheetUnits::kUs;
  std::string page_base_url;  // of the web page, without a slash at the end; empty leaves the QR code out
  Date printed_on{};  // the only date of today a sheet knows, so that the same input gives the same bytes
  std::string emergency_phone;  // empty prints a line to write it on
};

}  // namespace lastreach
