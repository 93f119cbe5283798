// What an import of a layer says.
#include <array>
#include <cstdio>
#include <map>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/import_elevation.h"
#include "app/import_layer.h"
#include "app/import_report.h"
#include "import/ground_length.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

// Of thousands of features the first few tell what is wrong.
constexpr size_t kMostListed = 10;

struct Amount {
  size_t count = 0;
  double length_m = 0;
};

// Features by the word that tells them apart: mains by status, things by kind.
std::map<std::string, Amount> AmountsOf(const ImportedLayer& result) {
  std::map<std::string, Amount> amounts;
  for (const DrawnMain& main : result.mains) {
    Amount& amount = amounts["mains " + std::string(ToText(main.status))];
    ++amount.count;
    amount.length_m += GroundLength_m(main.line);
  }
  for (const DrawnThing& thing : result.things) ++amounts[std::string(ToText(thing.kind)) + "s"].count;
  for (const DrawnThing& thing : result.things) {
    if (thing.closed) ++amounts["valves that are shut"].count;
  }
  for (const DrawnService& service : result.services) {
    amounts["services"].count += static_cast<size_t>(service.count);
    if (service.use) amounts["services with their use"].count += static_cast<size_t>(service.count);
  }
  if (!result.areas.empty()) amounts["zones"].count = result.areas.size();
  return amounts;
}

void PrintSetAside(const std::vector<SetAside>& features, std::ostream& out) {
  if (features.empty()) return;
  out << "\nSet aside:\n";
  std::map<std::string, size_t> more;
  for (size_t i = 0; i < features.size(); ++i) {
    if (i < kMostListed) {
      out << "  " << features[i].key.key << ": " << features[i].reason << "\n";
    } else {
      ++more[features[i].reason];
    }
  }
  for (const auto& [reason, count] : more) out << "  and " << count << " more: " << reason << "\n";
}

}  // namespace

void PrintText(const LayerReport& report, bool preview_only, std::ostream& out) {
  const ImportedLayer& result = report.result;
  const Table& table = report.layer.table;
  // Of a map a "line" would be taken for what is drawn.
  const std::string row_word = table.heading_line > 0 ? "line" : "feature";
  out << table.file << (table.sheet.empty() ? "" : ", layer " + table.sheet) << "\n"
      << Describe(report.preview);
  out << "\n"
      << table.rows.size() << (table.rows.size() == 1 ? " feature: " : " features: ") << result.rows_in
      << (preview_only ? " would come" : " came") << " in, " << result.rejected.size() << " did not.\n";
  for (const auto& [what, amount] : AmountsOf(result)) {
    char length[32] = "";
    if (amount.length_m > 0) std::snprintf(length, sizeof length, ", %.1f km", amount.length_m / 1000);
    out << "  " << what << ": " << amount.count << length << "\n";
  }
  const LayerChanges& changes = report.changes;
  if (changes.before > 0) {
    out << "The layer was in the project with " << changes.before << ": " << changes.added
        << (preview_only ? " would be" : "") << " new, " << changes.changed << " changed, " << changes.gone
        << " gone.\n";
  }
  PrintRows("Features that did not come in:", row_word, result.rejected, kMostListed, out);
  PrintRows("Cells left out of features that did:", row_word, result.left_out, kMostListed, out);
  PrintSetAside(result.set_aside, out);
  if (!result.notes.empty()) out << "\nRead with a note:\n";
  for (const std::string& note : result.notes) out << "  " << note << "\n";
}

void PrintJson(const LayerReport& report, bool preview_only, std::ostream& out) {
  const ImportedLayer& result = report.result;
  Json features = Json::object();
  for (const auto& [what, amount] : AmountsOf(result)) {
    features[what] = {{"count", amount.count}};
    if (amount.length_m > 0) features[what]["length_m"] = amount.length_m;
  }
  Json set_aside = Json::array();
  for (const SetAside& feature : result.set_aside)
    set_aside.push_back({{"key", feature.key.key}, {"reason", feature.reason}});
  const Json json = {{"file", report.layer.table.file},
                     {"layer", report.layer.table.sheet},
                     {"kept_as", report.layer.key},
                     {"kind", ToText(report.preview.kind)},
                     {"coordinate_system", report.layer.crs},
                     {"written", !preview_only},
                     {"columns", JsonOf(report.preview)},
                     {"unused_headings", report.preview.unused_headings},
                     {"rows", report.layer.table.rows.size()},
                     {"rows_in", result.rows_in},
                     {"features", features},
                     {"changes",
                      {{"before", report.changes.before},
                       {"added", report.changes.added},
                       {"changed", report.changes.changed},
                       {"gone", report.changes.gone}}},
                     {"rejected", JsonOf(result.rejected)},
                     {"cells_left_out", JsonOf(result.left_out)},
                     {"set_aside", set_aside},
                     {"layer_notes", report.preview.notes},
                     {"notes", result.notes}};
  out << json.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

Result<int> ImportMapLayer(const LayerRequest& request, Surroundings& around) {
  auto project = Project::Open(request.file);
  if (!project.ok()) return project.error();
  if (request.kind == TableKind::kElevation) return ImportElevation(*project, request, around);
  const auto report = ReadAndPutLayer(*project, request);
  if (!report.ok()) return report.error();
  if (request.json) {
    PrintJson(*report, request.preview_only, around.out);
  } else {
    PrintText(*report, request.preview_only, around.out);
  }
  if (report->result.rows_in == 0) {
    const RejectedRow& first = report->result.rejected.front();
    return BadInput("no feature came in; the first: " + first.reason,
                    {report->layer.table.file, first.line, first.column, first.value});
  }
  return 0;
}

}  // namespace lastreach
