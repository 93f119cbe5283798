#include "report/sheet_options.h"

namespace lastreach {
namespace {

constexpr double kPointsPerInch = 72;
constexpr double kPointsPerMillimetre = kPointsPerInch / 25.4;

PaperSize Millimetres(double width, double height) {
  return {width * kPointsPerMillimetre, height * kPointsPerMillimetre};
}
PaperSize Inches(double width, double height) { return {width * kPointsPerInch, height * kPointsPerInch}; }

}  // namespace

PaperSize SizeOf(Paper paper) {
  switch (paper) {
    case Paper::kA5:
      return Millimetres(148, 210);
    case Paper::kHalfLetter:
      return Inches(5.5, 8.5);
    case Paper::kA4:
      return Millimetres(210, 297);
    case Paper::kLetter:
      return Inches(8.5, 11);
  }
  return Millimetres(210, 297);
}

}  // namespace lastreach
