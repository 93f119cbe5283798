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

// Databases write "INSTALLDATE" for "install date".
std::string RunTogether(std::string words) {
  std::erase(words, ' ');
  return words;
}

HeadingMatch Score(const std::string& words, const Field& field) {
  HeadingMatch best;
  const std::string run_together = RunTogether(words);
  for (size_t i = 0; i < field.headings.size(); ++i) {
    const std::string& heading = field.headings[i];
    if (words == heading) return {1, i, {}};
    if (run_together == RunTogether(heading)) {
      if (best.score < 0.98) best = {0.98, i, {}};
      continue;
    }
    const size_t shorter = std::min(words.size(), heading.size());
    const size_t longer = std::max(words.size(), heading.size());
    const int allowed = LettersAllowed(shorter);
    if (allowed == 0 || longer - shorter > static_cast<size_t>(allowed)) continue;
    const int distance = EditDistance(words, heading);
    const double score = 1 - 0.15 * distance;
    if (distance <= allowed && score > best.score) best = {score, i, {}};
  }
  return best;
}

}  // namespace

HeadingMatch MatchHeading(std::string_view heading, const Field& field) {
  const HeadingParts parts = TakeApart(heading, field.dimension);
  HeadingMatch match = Score(parts.words, field);
  if (match.score < 1) {
    HeadingMatch without_filler = Score(WithoutFiller(parts.words), field);
    without_filler.score *= 0.95;
    if (without_filler.score > match.score) match = without_filler;
  }
  // The field's own name in a columns file or a sheet this program wrote: "p1_starts".
  if (Plainly(field.name) == parts.words) match = {1, 0, {}};
  match.unit = parts.unit;
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
