#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "import/layer_features.h"
#include "import/layer_mapping.h"
#include "import/row_reader.h"
#include "import/years.h"

namespace lastreach {

// One feature on its way to the drawing: its cells with codes replaced and unknown ones blank, its shape and
// its key. Keeps the account of unknown cells and words over all features.
class FeatureRow {
 public:
  FeatureRow(const Layer& layer, const Preview& preview, const FeatureOptions& options, ImportedLayer& to);

  void MoveTo(size_t row);
  // Puts what was listed of this row in `to`, with the row as written.
  void Finish();

  RowReader& cells() { return *reader_; }
  const Shape& shape() const { return layer_.shapes[row_]; }
  FeatureKey Key(size_t part = 0) const;

  // A year or date; none, and listed, if it is neither.
  // REQUIRES: the field holds dates.
  std::optional<int> Year(std::string_view field);

  // The feature comes in as `taken` although a word is not understood: noted once for each word.
  void NotUnderstood(std::string_view field, const std::string& taken);
  // Counts features by a sentence, noted at the end as "12 features: ...".
  void Tally(const std::string& sentence) { ++tallies_[sentence]; }
  // Not rejected, but not in the drawing either.
  void SetAsideAs(const std::string& reason, double length_m, std::optional<Position> at, size_t part = 0);

  // "diameter: 0.4 % unknown (-9.99 10, blank 6)" and the like, and all tallies.
  void AddNotes();

 private:
  void Clean(TableRow& row);
  bool SaysNothing(const ColumnChoice& choice, const Field& field, const std::string& cell) const;
  void AddUnknownNotes();

  const Layer& layer_;
  const Preview& preview_;
  const FeatureOptions& options_;
  ImportedLayer& to_;
  ImportContext context_;
  ImportResult listings_;
  KeyColumn key_;
  std::map<std::string, YearColumn> years_;  // by field
  size_t row_ = 0;
  TableRow cleaned_;
  std::optional<RowReader> reader_;
  std::map<std::string, std::map<std::string, int>> unknown_;  // by field, then by the cell
  std::map<std::pair<std::string, std::string>, std::pair<std::string, int>> words_;  // by field and word
  std::map<std::string, int> tallies_;
};

// One for each sort: reads the row and adds to `to`.
void ImportMain(FeatureRow& row, bool enabled_tells, ImportedLayer& to);
void ImportThing(FeatureRow& row, const Preview& preview, bool enabled_tells, ImportedLayer& to);
void ImportServicePlace(FeatureRow& row, const FeatureOptions& options, bool enabled_tells,
                        ImportedLayer& to);
void ImportZoneArea(FeatureRow& row, ImportedLayer& to);

// The state that the columns `status` and `enabled` give; the second counts only where some feature says yes.
MainStatus ReadStatus(FeatureRow& row, bool enabled_tells);

}  // namespace lastreach
