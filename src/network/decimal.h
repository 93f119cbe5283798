#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace lastreach {

// Numbers in text, with the decimal point moved by `shift` places on the way: "12.5" litres a second are
// ParseDecimal("12.5", -3) m3/s. The point is moved in the text, not in the number, so that nothing is
// rounded twice and ParseDecimal(ToDecimal(x, s), -s) == x for every finite x whose result is neither beyond
// the largest nor below the least normal number.

// A finite number with a point, "12", "-0.5", ".5", "1e-6", blanks round it left out; the one nearest to
// text x 10^shift. None for anything else: words, "nan", "inf", "1,5", "0x10", a number too large.
std::optional<double> ParseDecimal(std::string_view text, int shift = 0);

// The fewest digits that read back equal, of value x 10^shift: "0.3", "1.004e-6".
// REQUIRES: value is finite.
std::string ToDecimal(double value, int shift = 0);

}  // namespace lastreach
