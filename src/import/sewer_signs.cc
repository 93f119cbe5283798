#include "import/sewer_signs.h"

#include <algorithm>
#include <map>

#include "import/cell_words.h"
#include "import/map_words.h"

namespace lastreach {
namespace {

void Say(SewerSigns& signs, int points, const std::string& what) {
  signs.points += points;
  signs.evidence += (signs.evidence.empty() ? "" : "; ") + what;
}

void LookAtName(const Layer& layer, SewerSigns& signs) {
  std::string name = Plainly(layer.key + " " + layer.table.sheet);
  std::string word;
  for (const char* stem :
       {"sewer", "sanitary", "wastewater", "stormwater", "storm", "drainage", "manhole", "sewage"}) {
    if (word.empty() && name.find(stem) != std::string::npos) word = stem;
  }
  for (const std::string& part : Words(name)) {
    if (word.empty() && (part == "ss" || part == "san" || part == "foul" || part == "gravity")) word = part;
  }
  if (word.empty()) return;
  std::erase(name, ' ');
  if (name.find("watermain") != std::string::npos || name.find("drinking") != std::string::npos ||
      name.find("potable") != std::string::npos) {
    return;
  }
  Say(signs, 2, "its name has '" + word + "'");
}

void LookAtHeadings(const Layer& layer, SewerSigns& signs) {
  int found = 0;
  std::string list;
  for (const std::string& heading : layer.table.headings) {
    const std::string plain = Plainly(heading);
    const std::vector<std::string> words = Words(plain);
    const bool speaks =
        Mentions(plain, {"invert", "manhole", "slope", "sewer", "sanitary", "storm", "inv elev", "invel"}) ||
        std::any_of(words.begin(), words.end(), [](const std::string& word) {
          return word == "inv" || word == "mh" || word == "rim" || word == "upinv" || word == "dninv" ||
                 word == "usmh" || word == "dsmh" || word == "upelev" || word == "dnelev";
        });
    if (!speaks) continue;
    ++found;
    list += (list.empty() ? "" : ", ") + heading;
  }
  if (found > 0) Say(signs, std::min(found, 3), (found == 1 ? "heading " : "headings ") + list);
}

// Every different value of a column with how many rows have it, unknown ones left out.
std::map<std::string, size_t> ValuesOf(const Layer& layer, const Preview& preview, const char* field) {
  std::map<std::string, size_t> values;
  const ColumnChoice* choice = preview.Find(field);
  if (choice == nullptr) return values;
  for (const TableRow& row : layer.table.rows) {
    if (choice->column < row.cells.size() && !SaysUnknown(row.cells[choice->column]))
      ++values[Trimmed(row.cells[choice->column])];
  }
  return values;
}

std::string Share(size_t part, size_t whole) { return std::to_string(100 * part / whole) + " %"; }

void LookAtMaterials(const Layer& layer, const Preview& preview, SewerSigns& signs) {
  size_t known = 0;
  size_t sewer = 0;
  std::string list;
  for (const auto& [value, count] : ValuesOf(layer, preview, "material")) {
    known += count;
    if (!IsSewerMaterial(value)) continue;
    sewer += count;
    list += (list.empty() ? "" : ", ") + value;
  }
  if (sewer > 0 && 10 * sewer >= 3 * known) Say(signs, 2, Share(sewer, known) + " of materials are " + list);
}

void LookAtContent(const Layer& layer, const Preview& preview, SewerSigns& signs) {
  size_t known = 0;
  size_t sewer = 0;
  size_t drinking = 0;
  std::string list;
  for (const auto& [value, count] : ValuesOf(layer, preview, "water")) {
    const auto content = ReadPipeContent(value);
    if (!content) continue;
    known += count;
    if (*content == PipeContent::kDrinkingWater) drinking += count;
    if (*content != PipeContent::kSewage) continue;
    sewer += count;
    list += (list.empty() ? "" : ", ") + value;
  }
  if (known == 0) return;
  if (10 * sewer >= 9 * known) {
    Say(signs, 3, Share(sewer, known) + " of '" + preview.Find("water")->heading + "' is " + list);
  } else if (5 * drinking >= known) {
    signs.points -= 3;
  }
}

}  // namespace

SewerSigns FindSewerSigns(const Layer& layer, const Preview& preview) {
  SewerSigns signs;
  LookAtName(layer, signs);
  LookAtHeadings(layer, signs);
  LookAtMaterials(layer, preview, signs);
  LookAtContent(layer, preview, signs);
  return signs;
}

}  // namespace lastreach
