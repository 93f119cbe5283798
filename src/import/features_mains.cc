// Mains.
#include <algorithm>
#include <cmath>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/feature_row.h"
#include "import/ground_length.h"
#include "import/map_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// Wider than sheets have them: a written length is only held against the drawing.
constexpr RowReader::Bounds kWrittenLengths{0, 1e6, true};

// What runs in it, where a column says.
MainStatus ReadContent(FeatureRow& row) {
  const std::string text = row.cells().Text("water");
  if (text.empty()) return MainStatus::kInUse;
  const auto content = ReadPipeContent(text);
  if (!content) {
    row.NotUnderstood("water", "drinking water");
    return MainStatus::kInUse;
  }
  switch (*content) {
    case PipeContent::kDrinkingWater:
      return MainStatus::kInUse;
    case PipeContent::kOtherWater:
      row.Tally("with water of another kind ('" + text + "'): not part of this network");
      return MainStatus::kOtherWater;
    case PipeContent::kSewage:
      row.Tally("that are sewers or drains ('" + text + "'): not part of this network");
      return MainStatus::kOtherWater;
  }
  return MainStatus::kInUse;
}

bool SaysYes(const std::string& text) {
  if (text.empty()) return false;
  const auto yes = ParseYesNo(text);
  // "bridge=viaduct" and the like name a sort of bridge.
  return yes.ok() ? *yes : true;
}

int ReadLevel(FeatureRow& row) {
  const std::string text = row.cells().Text("level");
  if (const auto number = ParseNumber(text); number.ok() && std::abs(number->value) <= 20)
    return static_cast<int>(std::lround(number->value));
  if (SaysYes(row.cells().Text("bridge"))) return 1;
  if (SaysYes(row.cells().Text("tunnel"))) return -1;
  return 0;
}

void AddParts(FeatureRow& row, const DrawnMain& attributes, ImportedLayer& to) {
  const auto& parts = row.shape().parts;
  for (size_t i = 0; i < parts.size(); ++i) {
    DrawnMain main = attributes;
    main.key = row.Key(i);
    main.line = parts[i][0];
    main.line.erase(std::unique(main.line.begin(), main.line.end()), main.line.end());
    if (main.line.size() < 2) {
      row.SetAsideAs("the line has no length: all its points are at one place", 0, main.line[0], i);
      continue;
    }
    // What is written is for all parts together.
    if (parts.size() > 1) main.written_length.reset();
    to.mains.push_back(std::move(main));
  }
}

}  // namespace

MainStatus ReadStatus(FeatureRow& row, bool enabled_tells) {
  MainStatus status = MainStatus::kInUse;
  if (const std::string text = row.cells().Text("status"); !text.empty()) {
    if (const auto said = ReadMainStatus(text)) {
      status = *said;
    } else {
      row.NotUnderstood("status", "in use");
    }
  }
  const std::string enabled = row.cells().Text("enabled");
  if (status != MainStatus::kInUse || enabled.empty() || !enabled_tells) return status;
  const auto on = ParseOnOff(enabled);
  const auto yes = ParseYesNo(enabled);
  if (!on.ok() && !yes.ok()) {
    row.NotUnderstood("enabled", "in use");
    return status;
  }
  if (yes.ok() ? *yes : *on) return status;
  row.Tally("not enabled or not active: taken as abandoned");
  return MainStatus::kAbandoned;
}

void ImportMain(FeatureRow& row, bool enabled_tells, ImportedLayer& to) {
  RowReader& cells = row.cells();
  DrawnMain main;
  main.diameter = As(cells.Measure("diameter", kDiameters), Diameter::Millimetres, 1000);
  main.material = cells.Text("material");
  main.year_laid = row.Year("year");
  main.street = cells.Text("street");
  main.zone = cells.Text("zone");
  if (const auto length = cells.Measure("length", kWrittenLengths))
    main.written_length = Length::Metres(length->si);
  main.status = ReadStatus(row, enabled_tells);
  const MainStatus content = ReadContent(row);
  if (main.status == MainStatus::kInUse) main.status = content;
  main.level = ReadLevel(row);
  AddParts(row, main, to);
}

}  // namespace lastreach
