#include "import/heading_match.h"

#include <algorithm>

#include "import/cell_words.h"

namespace lastreach {
namespace {

// Words that tell nothing: "Field No. of Services" is "services".
std::string WithoutFiller(const std::string& words) {
  std::string rest;
  for (const std::string& word : Words(words)) {
    if (word == "the" || word == "approx" || word == "about" || word == "est" || word == "estimated" ||
        word == "actual" || word == "measured" || word == "field") {
      continue;
    }
    rest += (rest.empty() ? "" : " ") + word;
  }
  return rest;
}

// How many letters may be off in a heading of that length: a slip in a short word makes another word.
int LettersAllowed(size_t length) {
  if (length < 5) return 0;
  return length < 8 ? 1 : 2;
}

double Score(const std::string& words, const Field& field) {
  double best = 0;
  for (const std::string& heading : field.headings) {
    if (words == heading) return 1;
    const size_t shorter = std::min(words.size(), heading.size());
    const size_t longer = std::max(words.size(), heading.size());
    const int allowed = LettersAllowed(shorter);
    if (allowed == 0 || longer - shorter > static_cast<size_t>(allowed)) continue;
    const int distance = EditDistance(words, heading);
    if (distance <= allowed) best = std::max(best, 1 - 0.15 * distance);
  }
  return best;
}

}  // namespace

HeadingMatch MatchHeading(std::string_view heading, const Field& field) {
  const HeadingParts parts = TakeApart(heading, field.dimension);
  HeadingMatch match{Score(parts.words, field), parts.unit};
  if (match.score < 1) match.score = std::max(match.score, 0.95 * Score(WithoutFiller(parts.words), field));
  // The field's own name in a columns file or a sheet this program wrote: "p1_starts".
  if (Plainly(field.name) == parts.words) match.score = 1;
  return match;
}

double BestMatch(std::string_view heading, TableKind kind) {
  double best = 0;
  for (const Field& field : FieldsOf(kind)) {
    best = std::max(best, MatchHeading(heading, field).score);
    if (best == 1) break;
  }
  return best;
}

}  // namespace lastreach
