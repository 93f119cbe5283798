#include "import/import.h"

#include "import/cell_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// Faults of the row itself, before anybody asks what it means.
void CheckShape(const Table& table, const TableRow& row, RowReader& reader) {
  for (size_t i = table.headings.size(); i < row.cells.size(); ++i) {
    if (!Trimmed(row.cells[i]).empty()) {
      return reader.Reject(
          "", "there are more cells than headings; a comma inside a cell needs quotes around it");
    }
  }
  if (row.last_line > row.line && row.cells.size() < table.headings.size()) {
    return reader.Reject("", "a quote is opened and not closed in its cell (lines " +
                                 std::to_string(row.line) + " to " + std::to_string(row.last_line) + ")");
  }
  size_t same = 0;
  for (size_t i = 0; i < std::min(row.cells.size(), table.headings.size()); ++i) {
    if (!table.headings[i].empty() && Trimmed(row.cells[i]) == table.headings[i]) ++same;
  }
  if (same >= 2 || (same == 1 && table.headings.size() == 1))
    reader.Reject("", "these are the headings again");
}

void ImportRow(RowReader& row, TableKind kind, SeenRows& seen, ImportResult& result) {
  switch (kind) {
    case TableKind::kDevices:
    case TableKind::kPoints:
      return ImportDevice(row, kind, seen, result);
    case TableKind::kReaches:
      return ImportReachPipe(row, seen, result);
    case TableKind::kServices:
      return ImportServices(row, seen, result);
    case TableKind::kSamples:
      return ImportSample(row, seen, result);
    case TableKind::kReads:
      return ImportMeterRead(row, seen, result);
    case TableKind::kControllers:
      return ImportController(row, seen, result);
    case TableKind::kLimits:
      return ImportLimit(row, seen, result);
    case TableKind::kZones:
      return ImportZone(row, seen, result);
    case TableKind::kSettings:
      return ImportSettings(row, seen, result);
    case TableKind::kTemperatures:
      return ImportTemperature(row, seen, result);
    case TableKind::kTrips:
      return ImportTrip(row, seen, result);
    case TableKind::kPrices:
      return ImportPrice(row, seen, result);
    case TableKind::kRuns:
      return ImportRun(row, seen, result);
    case TableKind::kFlowTests:
      return ImportFlowTest(row, seen, result);
    case TableKind::kTestFlushes:
      return ImportFlushReading(row, seen);
    case TableKind::kVisits:
      return ImportVisit(row, seen, result);
    case TableKind::kByproducts:
      return ImportByproducts(row, seen, result);
    case TableKind::kProduction:
      return ImportProduction(row, seen, result);
    case TableKind::kMains:
    case TableKind::kValves:
    case TableKind::kHydrants:
    case TableKind::kBlowOffs:
    case TableKind::kTanks:
    case TableKind::kSources:
    case TableKind::kPumps:
    case TableKind::kFittings:
    case TableKind::kServicePlaces:
    case TableKind::kZoneAreas:
    case TableKind::kElevation:
      return row.Reject("", "what a map shows needs a place and comes in as a layer");
  }
}

}  // namespace

SeenRows::SeenRows(const ImportContext& context) : points(context.known_points), zones(context.known_zones) {
  for (const Sample& sample : context.known_samples) line_of.emplace(KeyOf(sample), 0);
  for (const MeterRead& read : context.known_reads) line_of.emplace(KeyOf(read), 0);
}

std::optional<std::string> SeenRows::ZoneNamed(std::string_view text) const {
  for (const std::string& zone : zones) {
    if (Plainly(zone) == Plainly(text)) return zone;
  }
  return std::nullopt;
}

std::string SeenRows::Before(const std::string& what, int line) {
  return what +
         (line == 0 ? " is in the project already" : " is in line " + std::to_string(line) + " already");
}

bool SeenRows::IsNew(const std::string& key, const std::string& what, std::string_view field,
                     RowReader& row) {
  const auto [found, added] = line_of.emplace(key, row.line());
  if (!added) row.Reject(field, Before(what, found->second));
  return added;
}

ImportResult ImportRows(const Table& table, const Preview& preview, const ImportContext& context) {
  ImportResult result;
  SeenRows seen(context);
  if (preview.kind == TableKind::kSamples && preview.Find("residual") != nullptr &&
      preview.Find("analyte") == nullptr) {
    result.notes.push_back("where the sheet does not say free or total, a residual is taken as " +
                           std::string(ToText(context.analyte)));
  }
  for (const TableRow& row : table.rows) {
    const size_t left_out = result.left_out.size();
    const size_t notes = result.notes.size();
    RowReader reader(row, preview, context, result);
    CheckShape(table, row, reader);
    if (!reader.rejected()) ImportRow(reader, preview.kind, seen, result);
    if (!reader.rejected()) {
      ++result.rows_in;
      continue;
    }
    // A row that is not in has no cells left out of it, and how its cells were read is of no interest.
    result.left_out.resize(left_out);
    result.notes.resize(notes);
  }
  FindWarmestWeeks(seen, context, result);
  FinishTestFlushes(seen, context, result);
  return result;
}

}  // namespace lastreach
