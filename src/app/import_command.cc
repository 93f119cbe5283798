#include <limits>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/import_layer.h"
#include "app/import_network.h"
#include "app/import_report.h"
#include "app/import_sheet.h"
#include "app/subcommands.h"
#include "import/map_fields.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string table;
  std::string kind;
  std::string columns;
  std::string sheet;
  std::string who;
  bool day_first = false;
  bool month_first = false;
  bool preview = false;
  bool json = false;
  bool headings = false;
  LayerRequest layer;  // what only layers of a map have
};

using Json = nlohmann::ordered_json;

// A sheet is read by the person who typed it: every row that did not come in is listed.
constexpr size_t kMostListed = std::numeric_limits<size_t>::max();

void PrintJson(const ImportReport& report, bool preview_only, std::ostream& out) {
  const Json json = {{"file", report.table.file},
                     {"sheet", report.table.sheet},
                     {"written", !preview_only},
                     {"columns", JsonOf(report.preview)},
                     {"unused_headings", report.preview.unused_headings},
                     {"rows", report.table.rows.size()},
                     {"rows_in", report.result.rows_in},
                     {"already_known", report.already_known},
                     {"rejected", JsonOf(report.result.rejected)},
                     {"cells_left_out", JsonOf(report.result.left_out)},
                     {"notes", report.result.notes}};
  out << json.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

void PrintText(const ImportReport& report, bool preview_only, std::ostream& out) {
  out << report.table.file << (report.table.sheet.empty() ? "" : ", sheet " + report.table.sheet)
      << ", headings in line " << report.table.heading_line << "\n";
  out << Describe(report.preview);
  out << "\n"
      << report.table.rows.size() << (report.table.rows.size() == 1 ? " row: " : " rows: ")
      << report.result.rows_in << (preview_only ? " would come" : " came") << " in, "
      << report.result.rejected.size() << " did not";
  if (report.already_known > 0) out << "; " << report.already_known << " records were known already";
  out << ".\n";
  PrintRows("Rows that did not come in:", "line", report.result.rejected, kMostListed, out);
  PrintRows("Cells left out of rows that did:", "line", report.result.left_out, kMostListed, out);
  if (!report.result.notes.empty()) out << "\nRead with a note:\n";
  for (const std::string& note : report.result.notes) out << "  " << note << "\n";
}

// What the words of --as mean for this file: services and zones are sheets, or layers where they have places.
Result<TableKind> KindFor(const Options& options) {
  const auto kind = ParseTableKind(options.kind);
  if (!kind.ok()) return BadRequest("--as: " + kind.error().ToString());
  if (options.table.empty()) return kind;
  LayerOptions reading;
  reading.layer = options.layer.layer;
  if (*kind == TableKind::kServices && HoldsShapes(options.table, TableKind::kServicePlaces, reading))
    return TableKind::kServicePlaces;
  if (*kind == TableKind::kZones && HoldsShapes(options.table, TableKind::kZoneAreas, reading))
    return TableKind::kZoneAreas;
  return kind;
}

Result<int> ImportLayer(const Options& options, TableKind kind, Surroundings& around) {
  LayerRequest request = options.layer;
  request.file = options.file;
  request.table = options.table;
  request.kind = kind;
  if (request.layer.empty()) request.layer = options.sheet;
  request.columns_file = options.columns;
  if (options.day_first) request.date_order = DateOrder::kDayFirst;
  if (options.month_first) request.date_order = DateOrder::kMonthFirst;
  request.who = options.who;
  request.when = around.now;
  request.preview_only = options.preview;
  request.json = options.json;
  return ImportMapLayer(request, around);
}

Result<int> Import(const Options& options, Surroundings& around) {
  if (options.kind == "network" && !options.headings) {
    if (options.file.empty() || options.table.empty()) {
      return BadRequest("a project file and a folder of plain tables are wanted");
    }
    return ImportNetwork({options.file, options.table, options.who, options.preview, options.json}, around);
  }
  const auto kind = KindFor(options);
  if (!kind.ok()) return kind.error();
  if (options.headings) {
    around.out << Headings(*kind);
    return 0;
  }
  if (options.file.empty() || options.table.empty())
    return BadRequest("a project file and a table are wanted");
  if (IsMapKind(*kind)) return ImportLayer(options, *kind, around);
  if (options.layer.IsAsked()) {
    return BadRequest(
        "--layer, --crs, --where, --units, --period-days and --certain are for what a map shows, "
        "not for a sheet of " +
        std::string(ToText(*kind)));
  }
  auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  ImportRequest request;
  request.table = options.table;
  request.kind = *kind;
  request.sheet = options.sheet;
  request.columns_file = options.columns;
  if (options.day_first) request.date_order = DateOrder::kDayFirst;
  if (options.month_first) request.date_order = DateOrder::kMonthFirst;
  request.who = options.who;
  request.when = around.now;
  request.preview_only = options.preview;
  const auto report = ImportSheet(*project, request);
  if (!report.ok()) return report.error();
  if (options.json) {
    PrintJson(*report, options.preview, around.out);
  } else {
    PrintText(*report, options.preview, around.out);
  }
  if (report->result.rows_in == 0 && !report->table.rows.empty()) {
    const RejectedRow& first = report->result.rejected.front();
    return BadInput("no row came in; the first: " + first.reason,
                    {options.table, first.line, first.column, first.value});
  }
  return 0;
}

}  // namespace

void AddImportCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "import", "Takes a sheet (CSV or XLSX) as people typed it, or a layer of a map, into the project");
  command->footer(
      "\nKinds: devices (one row a device, typed from the lid), points (ends flushed by hand), reaches, "
      "services,\n"
      "samples, reads, controllers, limits, zones, settings, temperatures (by month or dated), trips, "
      "prices;\n"
      "runs (a flush log), flow-tests, test-flushes (a row a reading), visits, byproducts, production (by "
      "month);\n"
      "and network, a folder of plain tables.\n"
      "Layers of a map, in any geodata format or a database (\"PG:dbname=town\"): mains, valves, hydrants, "
      "blow-offs,\n"
      "tanks, sources, pumps, fittings, services or meters, zones; and elevation, a raster. A layer that "
      "comes "
      "in again\n"
      "takes the place of what it brought before.\n"
      "Columns are found by their headings, misspelt ones too, and shown before anything comes in; units "
      "come from\n"
      "headings, cells or the values and are shown with the reason. Rows that cannot come in are listed with "
      "line\n"
      "and reason; nothing is dropped in silence. The next sheet with the same headings needs no help.\n"
      "  lastreach import town.gpkg devices.csv --as devices --preview\n"
      "  lastreach import town.gpkg july.xlsx --as samples --month-first --who \"night crew\"\n"
      "  lastreach import town.gpkg pipes.shp --as mains --crs EPSG:2278 --preview\n"
      "  lastreach import town.gpkg utilities.gpkg --layer mains --where \"owner = 'town'\" --as mains\n"
      "  lastreach import --as samples --headings");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project");
  command->add_option("TABLE", options->table, "the sheet, layer, raster or folder");
  command->add_option("--as", options->kind, "what its rows are")->required();
  command->add_option("--columns", options->columns,
                      "a TOML file that names the columns: [columns] length = \"Lenght\"");
  command->add_option("--sheet", options->sheet, "which sheet of a workbook");
  command->add_option("--who", options->who, "who typed or measured it, where the sheet does not say");
  auto* day_first = command->add_flag("--day-first", options->day_first, "03/04/2026 is the 3rd of April");
  command->add_flag("--month-first", options->month_first, "03/04/2026 is the 4th of March")
      ->excludes(day_first);
  LayerRequest& layer = options->layer;
  command->add_option("--layer", layer.layer, "which layer of a file with several");
  command->add_option("--crs", layer.crs, "the coordinate system of a layer, as in EPSG:2278");
  command->add_option("--where", layer.where, "only features for which this holds: \"diameter > 2\"");
  command->add_option("--units", layer.units, "of the heights of a raster: m, ft or survey ft");
  command->add_option("--period-days", layer.period_days, "days between two reads, where no column says")
      ->check(CLI::Range(0.5, 1000.0));
  command->add_flag("--certain", layer.certain, "these are drinking-water mains, whatever looks like sewers");
  command->add_flag("--preview", options->preview, "show what would come in and write nothing");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->add_flag("--headings", options->headings, "list the headings that are understood for this kind");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Import(*options, around); }; });
}

}  // namespace lastreach
