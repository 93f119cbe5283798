#include <cstdio>
#include <memory>
#include <ostream>

#include "app/files.h"
#include "app/month_facts_of.h"
#include "app/subcommands.h"
#include "app/text_table.h"
#include "app/us_zone.h"
#include "month/dechlorination.h"
#include "month/make_month.h"
#include "month/month_json.h"
#include "report/month_csv.h"
#include "report/month_paper.h"
#include "report/month_template.h"
#include "report/month_workbook.h"
#include "report/page.h"
#include "store/project.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string month;
  std::string out;
  std::vector<std::string> templates;
  std::vector<std::string> doses;
  std::string units;
  int64_t population = 0;
  bool population_given = false;
  bool json = false;
};

Result<std::chrono::year_month> MonthOf(const std::string& text) {
  const auto first = ParseDate(text + "-01");
  if (!first.ok() || text.size() != 7) return BadRequest("'" + text + "' is not a month as 2026-08");
  return first->year() / first->month();
}

std::string AgentNames() {
  std::string names;
  for (const DechlorinationAgent& agent : DechlorinationAgents()) {
    names += (names.empty() ? "" : ", ") + std::string(agent.name);
  }
  return names;
}

// "sodium sulfite=1.96".
Status TakeDose(const std::string& text, std::map<std::string, double>& doses) {
  const size_t equals = text.find('=');
  const std::string name = text.substr(0, equals);
  const DechlorinationAgent* agent = FindAgent(name);
  if (agent == nullptr || equals == std::string::npos) {
    return BadRequest("--dose " + text + ": AGENT=MG_PER_MG is wanted, of " + AgentNames());
  }
  double dose = 0;
  int read = 0;
  const std::string number = text.substr(equals + 1);
  if (std::sscanf(number.c_str(), "%lf%n", &dose, &read) != 1 || read != static_cast<int>(number.size()) ||
      !(dose > 0 && dose <= 100)) {
    return BadRequest("--dose " + text + ": mg for each mg of chlorine, above 0 and up to 100");
  }
  doses[std::string(agent->name)] = dose;
  return Ok();
}

Status TakeOptions(const Options& options, MonthFacts& facts) {
  if (options.population_given) {
    if (options.population < 1) {
      return BadRequest("--population " + std::to_string(options.population) + " is not above 0");
    }
    facts.population = options.population;
  }
  for (const std::string& dose : options.doses) {
    if (const Status taken = TakeDose(dose, facts.doses_mg_per_mg); !taken.ok()) return taken;
  }
  return Ok();
}

Result<SheetOptions> PaperOptions(const Options& options, const Zone& zone, Instant now) {
  if (!options.units.empty() && options.units != "us" && options.units != "metric") {
    return BadRequest("--units " + options.units + ": us or metric");
  }
  const bool us = options.units.empty() ? IsUsZone(zone.name()) : options.units == "us";
  SheetOptions paper;
  paper.units = us ? SheetUnits::kUs : SheetUnits::kMetric;
  paper.paper = us ? Paper::kLetter : Paper::kA4;
  paper.printed_on = Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(now))};
  return paper;
}

// "county.toml" to "county".
std::string StemOf(const std::string& path) {
  const size_t slash = path.find_last_of('/');
  const std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
  const size_t point = name.find_last_of('.');
  return point == std::string::npos || point == 0 ? name : name.substr(0, point);
}

// A template's file before its text is written, so that nothing is written if one of them is at fault.
struct Filled {
  std::string name;
  std::string text;
};

Result<std::vector<Filled>> FillTemplates(const Options& options, const MonthBook& book) {
  std::vector<Filled> filled;
  for (const std::string& path : options.templates) {
    const auto form = ReadMonthTemplate(path);
    if (!form.ok()) return form.error();
    const auto text = MonthAsTemplate(*form, book);
    if (!text.ok()) return text.error();
    filled.push_back({"month-" + book.month + "-as-" + StemOf(path) + ".csv", *text});
    for (size_t i = 0; i + 1 < filled.size(); ++i) {
      if (filled[i].name != filled.back().name) continue;
      return BadRequest("--template " + path + ": another template gives the file " + filled[i].name +
                        " too");
    }
  }
  return filled;
}

Status WriteFiles(const Options& options, const MonthBook& book, const SheetOptions& paper, Instant now,
                  std::vector<std::string>& files) {
  const auto filled = FillTemplates(options, book);
  if (!filled.ok()) return filled.error();
  if (const Status made = MakeFolder(options.out); !made.ok()) return made;
  const std::string name = "month-" + book.month;
  files = {name + ".pdf", name + ".xlsx"};
  Status written = WriteMonthPaper(book, paper, options.out + "/" + files[0]);
  if (written.ok()) written = WriteMonthWorkbook(book, now, options.out + "/" + files[1]);
  if (written.ok()) written = WriteMonthCsvs(book, options.out, files);
  for (const Filled& form : *filled) {
    if (!written.ok()) return written;
    written = WriteWhole(options.out + "/" + form.name, form.text);
    files.push_back(form.name);
  }
  return written;
}

std::string Cell(const MonthBook& book, const std::string& key) {
  const MonthTable& summary = book.Table("summary");
  const MonthCell& cell = summary.rows.front()[static_cast<size_t>(summary.Find(key))];
  const auto* number = std::get_if<MonthNumber>(&cell);
  return number != nullptr ? number->grouped() : CellText(cell);
}

// Columns of a table that are worth a line on a screen.
void PrintTable(const MonthBook& book, const std::string& name, const std::vector<std::string>& keys,
                std::ostream& out) {
  const MonthTable& table = book.Table(name);
  if (table.rows.empty()) return;
  std::vector<std::vector<std::string>> rows(1);
  const auto add = [&](const std::vector<MonthCell>& row) {
    rows.emplace_back();
    for (const std::string& key : keys) {
      rows.back().push_back(CellText(row[static_cast<size_t>(table.Find(key))]));
    }
  };
  for (const std::string& key : keys) {
    rows.front().push_back(table.columns[static_cast<size_t>(table.Find(key))].heading);
  }
  for (const auto& row : table.rows) {
    if (name != "water" || IsWorthALine(table, row)) add(row);
  }
  if (!table.total.empty()) add(table.total);
  out << "\n" << table.title << "\n" << TextTable(rows);
}

void PrintMonth(const MonthBook& book, std::ostream& out) {
  const std::string key = UnitKey(book.unit), unit = UnitText(book.unit);
  out << book.title << ": " << Cell(book, "total_" + key) << " " << unit << " flushed (metered "
      << Cell(book, "metered_" + key) << ", estimated " << Cell(book, "estimated_" + key) << ", give or take "
      << Cell(book, "standard_deviation_" + key) << "); " << Cell(book, "readings") << " residual readings";
  if (const std::string below = Cell(book, "below_limit_percent"); !below.empty()) {
    out << ", " << below << " % below the limit";
  }
  if (const std::string needed = Cell(book, "samples_needed"); !needed.empty()) {
    out << ", " << needed << " needed";
  }
  out << "; " << Cell(book, "exceptions_open") << " exceptions open, " << Cell(book, "exceptions_closed")
      << " closed.\n";
  for (const std::string& note : book.notes) out << "  " << note << "\n";
  PrintTable(book, "exceptions", {"point", "kind", "since", "closed_on", "what"}, out);
  PrintTable(book, "residuals",
             {"zone", "readings", "lowest_mg_per_l", "average_mg_per_l", "below_limit_percent",
              "undetected_percent", "finding"},
             out);
  PrintTable(book, "water",
             {"point", "runs", "metered_" + key, "estimated_" + key, "total_" + key,
              "standard_deviation_" + key, "method"},
             out);
}

Result<int> CloseTheMonth(const Options& options, Surroundings& around) {
  const auto month = MonthOf(options.month);
  if (!month.ok()) return month.error();
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  auto facts = MonthFactsOf(*project, *month, around.now);
  if (!facts.ok()) return facts.error();
  if (BeginOf(facts->zone, *month) >= around.now) {
    return BadRequest("the month " + options.month + " has not begun");
  }
  if (const Status taken = TakeOptions(options, *facts); !taken.ok()) return taken.error();
  const auto paper = PaperOptions(options, facts->zone, around.now);
  if (!paper.ok()) return paper.error();
  if (!options.templates.empty() && options.out.empty()) {
    return BadRequest("--template writes a file: say where with --out");
  }
  const VolumeUnit unit = paper->units == SheetUnits::kUs ? VolumeUnit::kGallons : VolumeUnit::kCubicMetres;
  const MonthBook book = MakeBook(MakeMonth(*facts), unit);
  std::vector<std::string> files;
  if (!options.out.empty()) {
    const Status written = WriteFiles(options, book, *paper, around.now, files);
    if (!written.ok()) return written.error();
  }
  if (options.json) {
    around.out << MonthToJson(book) << "\n";
    return 0;
  }
  PrintMonth(book, around.out);
  if (!files.empty()) {
    around.out << "\nWritten into " << options.out << ":\n";
    for (const std::string& file : files) around.out << "  " << file << "\n";
  }
  return 0;
}

}  // namespace

void AddMonthCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "month", "A month's account: flush log, residuals, water let out and how it is known, exceptions");
  command->footer(
      "\nAdds up what the records say; plans and fits nothing. Water is metered where two reads enclose it, "
      "shared "
      "over\n"
      "the month as the timer's runs are; else it is runs by the settings times the flow, and flushes on the "
      "log. "
      "Every\n"
      "line adds up to its total, the same in the PDF, the workbook, the CSV files and the JSON.\n"
      "A template puts the columns into your regulator's order (docs/formats/month.md):\n"
      "  rows = \"flush_log\"\n"
      "  [[column]]\n"
      "  heading = \"Gallons\"\n"
      "  field = \"volume_gal\"\n"
      "Examples:\n"
      "  lastreach month town.gpkg 2026-08\n"
      "  lastreach month town.gpkg 2026-08 --out august --population 4200\n"
      "  lastreach month town.gpkg 2026-08 --out august --template county.toml --dose 'sodium sulfite=1.96'");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  command->add_option("MONTH", options->month, "as 2026-08; one that is not over is counted so far")
      ->required();
  command->add_option("--out", options->out,
                      "a folder to write the PDF, the workbook and the CSV files into");
  command->add_option("--template", options->templates, "one more CSV, in your own order of columns");
  command->add_option(
      "--dose", options->doses,
      "AGENT=MG_PER_MG: mg of a dechlorination agent for each mg of chlorine; else by its reaction");
  auto* population = command->add_option("--population", options->population,
                                         "people served, for the number of samples the month needs");
  command->add_option("--units", options->units, "us or metric; else by the project's zone");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, population, &around, &action] {
    options->population_given = population->count() > 0;
    action = [options, &around] { return CloseTheMonth(*options, around); };
  });
}

}  // namespace lastreach
