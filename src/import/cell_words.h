#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace lastreach {

// Lower case, words of letters and digits with one space between, nothing else: "Dia. (in)" -> "dia in".
// A percent sign is the word "percent", a superscript 3 the digit; letters beyond ASCII stay as they are.
std::string Plainly(std::string_view text);

// Without blanks at either end, the no-break space among them.
std::string Trimmed(std::string_view text);

// Lower case of A to Z only.
std::string Lower(std::string_view text);

std::vector<std::string> Words(std::string_view text);

// Letters to change, add, drop or swap with the next to make one text of the other: "lenght" is 1 from
// "length". COST: product of the sizes.
// SOURCE: optimal string alignment, [Damerau1964] with each stretch edited once.
int EditDistance(std::string_view a, std::string_view b);

// Whether the cell says that nobody knows: blank, "UNK", "n/a", "-", "?", "TBD", -9.99, ...
bool SaysUnknown(std::string_view text);

// Whether one of the stems stands anywhere in a text that is already plain.
bool Mentions(const std::string& plain, std::initializer_list<std::string_view> stems);

}  // namespace lastreach
