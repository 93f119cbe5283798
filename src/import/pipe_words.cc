#include "import/pipe_words.h"

#include <string>

#include "import/cell_words.h"
#include "import/numbers.h"
#include "import/units.h"

namespace lastreach {
namespace {

// Where the first of two measures ends: the words between them, longest first.
std::vector<std::string> SplitAtFirst(const std::string& text,
                                      std::initializer_list<std::string_view> between) {
  for (const std::string_view word : between) {
    const size_t at = text.find(word);
    if (at != std::string::npos) return {Trimmed(text.substr(0, at)), Trimmed(text.substr(at + word.size()))};
  }
  return {text};
}

}  // namespace

Result<std::vector<WrittenPipe>> ParsePipes(std::string_view original) {
  const Error no_pipes =
      BadInput("pipes are written like 8 in x 1200 ft + 6 in x 400 ft", {"", {}, "", std::string(original)});
  std::vector<WrittenPipe> pipes;
  std::string rest = Lower(Trimmed(original));
  while (!rest.empty()) {
    const auto parts = SplitAtFirst(rest, {"+", ";", " then ", " and ", "\n"});
    const auto sides = SplitAtFirst(parts[0], {"\xC3\x97", " x ", "x ", " of ", " @ ", "*", "x"});
    rest = parts.size() > 1 ? parts[1] : "";
    if (sides.size() != 2) return no_pipes;
    WrittenPipe pipe;
    bool has_length = false;
    bool has_width = false;
    for (const std::string& side : sides) {
      const auto number = ParseNumber(side);
      if (!number.ok() || number->value <= 0) return no_pipes;
      pipe.about = pipe.about || number->about;
      if (const auto length = FindUnit(Dimension::kLength, number->rest)) {
        pipe.length = Length::Metres(number->value * length->factor);
        has_length = true;
      } else if (const auto width = FindUnit(Dimension::kDiameter, number->rest)) {
        // By millimetres, so that 6 in is the same number however it came in.
        pipe.diameter = Diameter::Millimetres(number->value * width->factor * 1000);
        if (width->name == "in") pipe.diameter = Diameter::Inches(number->value);
        has_width = true;
      }
    }
    if (!has_length || !has_width) return no_pipes;
    pipes.push_back(pipe);
  }
  if (pipes.empty()) return no_pipes;
  return pipes;
}

}  // namespace lastreach
