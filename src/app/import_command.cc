#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/import_network.h"
#include "app/import_sheet.h"
#include "app/subcommands.h"

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
};

using Json = nlohmann::ordered_json;

Json JsonOf(const std::vector<RejectedRow>& rows) {
  Json list = Json::array();
  for (const RejectedRow& row : rows) {
    list.push_back({{"line", row.line},
                    {"column", row.column},
                    {"value", row.value},
                    {"reason", row.reason},
                    {"original", row.original}});
  }
  return list;
}

Json JsonOf(const Preview& preview) {
  Json list = Json::array();
  for (const ColumnChoice& choice : preview.columns) {
    list.push_back({{"field", choice.field},
                    {"heading", choice.heading},
                    {"chosen_by", ToText(choice.how)},
                    {"confidence", choice.confidence},
                    {"unit_from", choice.unit_why},
                    {"samples", choice.samples}});
  }
  return list;
}

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

void PrintRows(const std::string& title, const std::vector<RejectedRow>& rows, std::ostream& out) {
  if (rows.empty()) return;
  out << "\n" << title << "\n";
  for (const RejectedRow& row : rows) {
    out << "  line " << row.line;
    if (!row.column.empty()) out << ", " << row.column;
    if (!row.value.empty()) out << ", '" << row.value << "'";
    out << ": " << row.reason << "\n";
  }
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
  PrintRows("Rows that did not come in:", report.result.rejected, out);
  PrintRows("Cells left out of rows that did:", report.result.left_out, out);
  if (!report.result.notes.empty()) out << "\nRead with a note:\n";
  for (const std::string& note : report.result.notes) out << "  " << note << "\n";
}

Result<int> Import(const Options& options, Surroundings& around) {
  if (options.kind == "network" && !options.headings) {
    if (options.file.empty() || options.table.empty()) {
      return BadRequest("a project file and a folder of plain tables are wanted");
    }
    return ImportNetwork({options.file, options.table, options.who, options.preview, options.json}, around);
  }
  const auto kind = ParseTableKind(options.kind);
  if (!kind.ok()) return BadRequest("--as: " + kind.error().ToString());
  if (options.headings) {
    around.out << Headings(*kind);
    return 0;
  }
  if (options.file.empty() || options.table.empty())
    return BadRequest("a project file and a table are wanted");
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
  auto* command =
      app.add_subcommand("import", "Takes a sheet (CSV or XLSX) as people typed it into the project");
  command->footer(
      "\nKinds: devices (one row a device, typed from the lid), points (ends flushed by hand), reaches, "
      "services,\n"
      "samples, reads, controllers, limits, zones, settings; and network, a folder of plain tables.\n"
      "Columns are found by their headings, misspelt ones too, and shown before anything comes in; units "
      "come from\n"
      "headings, cells or the values and are shown with the reason. Rows that cannot come in are listed with "
      "line\n"
      "and reason; nothing is dropped in silence. The next sheet with the same headings needs no help.\n"
      "  lastreach import town.gpkg devices.csv --as devices --preview\n"
      "  lastreach import town.gpkg july.xlsx --as samples --month-first --who \"night crew\"\n"
      "  lastreach import --as samples --headings");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project");
  command->add_option("TABLE", options->table, "the sheet");
  command->add_option("--as", options->kind, "what its rows are")->required();
  command->add_option("--columns", options->columns,
                      "a TOML file that names the columns: [columns] length = \"Lenght\"");
  command->add_option("--sheet", options->sheet, "which sheet of a workbook");
  command->add_option("--who", options->who, "who typed or measured it, where the sheet does not say");
  auto* day_first = command->add_flag("--day-first", options->day_first, "03/04/2026 is the 3rd of April");
  command->add_flag("--month-first", options->month_first, "03/04/2026 is the 4th of March")
      ->excludes(day_first);
  command->add_flag("--preview", options->preview, "show what would come in and write nothing");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->add_flag("--headings", options->headings, "list the headings that are understood for this kind");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Import(*options, around); }; });
}

}  // namespace lastreach
