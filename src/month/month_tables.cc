#include "month/month_tables.h"

#include <algorithm>
#include <cmath>

#include "ledger/months.h"
#include "month/month_residual_tables.h"
#include "month/month_water_tables.h"

namespace lastreach {
namespace {

MonthTable ByproductTable(const MonthReport& report) {
  constexpr int kDecimals = 4;
  MonthTable table{"byproducts",
                   "By-products of disinfection",
                   {{"site", "Site"},
                    {"byproduct", "By-product"},
                    {"quarter_1_mg_per_l", "First quarter (mg/L)", true},
                    {"quarter_2_mg_per_l", "Second (mg/L)", true},
                    {"quarter_3_mg_per_l", "Third (mg/L)", true},
                    {"quarter_4_mg_per_l", "Latest (mg/L)", true},
                    {"running_annual_average_mg_per_l", "Average of the four (mg/L)", true},
                    {"evaluation_level_mg_per_l", "Evaluation level (mg/L)", true},
                    {"limit_mg_per_l", "Limit (mg/L)", true},
                    {"finding", "Finding"}},
                   {},
                   {}};
  const auto cell = [](const std::optional<double>& mg_per_l) -> MonthCell {
    if (!mg_per_l) return {};
    return RoundedTo(*mg_per_l, kDecimals);
  };
  for (const SiteAverage& site : report.byproducts) {
    const LocationalAverage& average = site.average;
    const double most = MostAverage_mg_per_l(site.byproduct);
    std::string finding = "within the limit";
    if (average.mean->parts < 4) finding += ", " + std::to_string(average.mean->parts) + " of 4 quarters";
    if (average.evaluation_level_mg_per_l > most) finding = "evaluation level over the limit: evaluate";
    if (average.over_already || (average.mean->parts == 4 && average.mean->mg_per_l > most)) {
      finding = "OVER THE LIMIT";
    }
    table.rows.push_back({site.site, std::string(ToText(site.byproduct)), cell(average.quarters_mg_per_l[0]),
                          cell(average.quarters_mg_per_l[1]), cell(average.quarters_mg_per_l[2]),
                          cell(average.quarters_mg_per_l[3]), cell(average.mean->mg_per_l),
                          cell(average.evaluation_level_mg_per_l), RoundedTo(most, 3), finding});
  }
  return table;
}

std::string Basis(const MonthDechlorination& use) {
  if (use.agent.empty()) return "nobody knows this agent";
  std::string basis = !use.dose_mg_per_mg ? "its dose depends on pH and time: give your own"
                      : use.dose_is_own   ? "own dose"
                                          : "by the reaction alone";
  if (use.residual_is_zones) basis += "; residual of the zone";
  if (!use.residual_mg_per_l) basis += "; no residual known";
  return basis;
}

MonthTable DechlorinationTable(const MonthReport& report) {
  constexpr int kMassDecimals = 2;
  MonthTable table{"dechlorination",
                   "Dechlorination",
                   {{"point", "Point"},
                    {"fed", "Fed"},
                    {"residual_mg_per_l", "Residual (mg/L)", true},
                    {"chlorine_kg", "Chlorine (kg)", true},
                    {"dose_mg_per_mg", "Dose (mg/mg)", true},
                    {"agent_kg", "Used (kg)", true},
                    {"refills", "Refills", true},
                    {"refilled_kg", "Refilled (kg)", true},
                    {"basis", "Basis"}},
                   {},
                   {}};
  int64_t chlorine = 0, agent = 0, refills = 0;
  bool one_agent = true;
  for (const MonthDechlorination& use : report.dechlorination) {
    const auto cell = [](const std::optional<double>& value, int decimals) -> MonthCell {
      if (!value) return {};
      return RoundedTo(*value, decimals);
    };
    table.rows.push_back({use.point.text(), use.words, cell(use.residual_mg_per_l, 2),
                          cell(use.chlorine_kg, kMassDecimals), cell(use.dose_mg_per_mg, 2),
                          cell(use.agent_kg, kMassDecimals), MonthNumber{use.refills, 0},
                          cell(use.refilled_kg, kMassDecimals), Basis(use)});
    if (use.chlorine_kg) chlorine += RoundedTo(*use.chlorine_kg, kMassDecimals).units;
    if (use.agent_kg) agent += RoundedTo(*use.agent_kg, kMassDecimals).units;
    refills += use.refills;
    one_agent = one_agent && use.agent == report.dechlorination.front().agent;
  }
  if (table.rows.empty()) return table;
  // Kilograms of one chemical and of another do not add up to anything.
  const MonthCell agent_total = one_agent ? MonthCell(MonthNumber{agent, kMassDecimals}) : MonthCell();
  table.total = {std::string("Total"),    {}, {}, MonthNumber{chlorine, kMassDecimals}, {}, agent_total,
                 MonthNumber{refills, 0}, {}, {}};
  return table;
}

std::string WhatHappened(const MonthException& exception, VolumeUnit unit) {
  const auto volume = [&](double m3) { return RoundedVolume(m3, unit).grouped() + " " + UnitText(unit); };
  const auto residual = [](double mg_per_l) { return RoundedTo(mg_per_l, 2).text() + " mg/L"; };
  switch (exception.kind) {
    case ExceptionKind::kBelowLimit:
      return std::to_string(exception.times) + (exception.times == 1 ? " reading" : " readings") + " below " +
             residual(exception.expected) + ", the lowest " +
             (exception.found > 0 ? residual(exception.found) : "not detected");
    case ExceptionKind::kNoRead:
      return exception.until ? "the meter was not read; last on " + FormatDate(*exception.until)
                             : "the meter was never read";
    case ExceptionKind::kDialFell:
      return "the read of " + FormatDate(*exception.until) + " is below the one of " +
             FormatDate(exception.since);
    case ExceptionKind::kUnlikeSettings:
      return "the meter showed " + volume(exception.found) + " from " + FormatDate(exception.since) + " to " +
             FormatDate(*exception.until) + "; the settings make " + volume(exception.expected) +
             (exception.likeliest.empty() ? "" : "; likeliest: " + exception.likeliest);
    case ExceptionKind::kSettingsOverdue:
      return "temporary settings were to end on " + FormatDate(exception.since);
    case ExceptionKind::kNothingKnown:
      return "no reads, and the settings or the flow of some of the time are not known";
  }
  return "";
}

MonthTable ExceptionTable(const MonthReport& report, VolumeUnit unit) {
  MonthTable table{"exceptions",
                   "Exceptions",
                   {{"point", "Point"},
                    {"kind", "Kind"},
                    {"since", "Since"},
                    {"what", "What"},
                    {"state", "State"},
                    {"closed_on", "Closed on"}},
                   {},
                   {}};
  for (const MonthException& exception : report.exceptions) {
    table.rows.push_back({exception.point.text(), std::string(ToText(exception.kind)),
                          FormatDate(exception.since), WhatHappened(exception, unit),
                          std::string(exception.closed_on ? "closed" : "open"),
                          exception.closed_on ? FormatDate(*exception.closed_on) : std::string()});
  }
  return table;
}

// One row: what stands at the top of the page.
MonthTable SummaryTable(const MonthReport& report, const WaterTables& water, const MonthTable& residuals,
                        VolumeUnit unit) {
  const std::string key = UnitKey(unit);
  const std::string in = " (" + UnitText(unit) + ")";
  const auto closed =
      std::count_if(report.exceptions.begin(), report.exceptions.end(),
                    [](const MonthException& exception) { return exception.closed_on.has_value(); });
  const auto of_water = [&](const char* what) -> MonthCell {
    return water.water.total[static_cast<size_t>(water.water.Find(std::string(what) + "_" + key))];
  };
  const auto of_residuals = [&](const char* what) -> MonthCell {
    return residuals.rows.front()[static_cast<size_t>(residuals.Find(what))];
  };
  const auto count = [](auto number) { return MonthNumber{static_cast<int64_t>(number), 0}; };
  MonthCell supplied, needed;
  if (report.supplied_m3) supplied = RoundedVolume(*report.supplied_m3, unit);
  if (report.samples_needed) needed = count(*report.samples_needed);
  return {
      "summary",
      "Summary",
      {{"through", "Through"},
       {"points", "Points", true},
       {"total_" + key, "Flushed" + in, true},
       {"metered_" + key, "Metered" + in, true},
       {"estimated_" + key, "Estimated" + in, true},
       {"standard_deviation_" + key, "Give or take" + in, true},
       {"supplied_" + key, "Supplied" + in, true},
       {"flushed_percent_of_supplied", "Flushed, percent of supplied", true},
       {"readings", "Residual readings", true},
       {"samples_needed", "Samples needed", true},
       {"lowest_mg_per_l", "Lowest (mg/L)", true},
       {"average_mg_per_l", "Average (mg/L)", true},
       {"below_limit_percent", "Below limit (percent)", true},
       {"undetected_percent", "Not detected (percent)", true},
       {"visits", "Visits", true},
       {"exceptions_open", "Exceptions open", true},
       {"exceptions_closed", "Exceptions closed", true}},
      {{FormatDate(report.through), count(report.points.size()), of_water("total"), of_water("metered"),
        of_water("estimated"), of_water("standard_deviation"), supplied, water.balance.total.back(),
        of_residuals("readings"), needed, of_residuals("lowest_mg_per_l"), of_residuals("average_mg_per_l"),
        of_residuals("below_limit_percent"), of_residuals("undetected_percent"), count(report.visits),
        count(static_cast<int64_t>(report.exceptions.size()) - closed), count(closed)}},
      {}};
}

}  // namespace

const MonthTable& MonthBook::Table(const std::string& key) const {
  return *std::find_if(tables.begin(), tables.end(),
                       [&](const MonthTable& table) { return table.key == key; });
}

std::string UnitText(VolumeUnit unit) { return unit == VolumeUnit::kGallons ? "gal" : "m³"; }
std::string UnitKey(VolumeUnit unit) { return unit == VolumeUnit::kGallons ? "gal" : "m3"; }

MonthBook MakeBook(const MonthReport& report, VolumeUnit unit) {
  MonthBook book;
  book.month = FormatDate(report.month / 1).substr(0, 7);
  book.title = std::string(MonthWord(static_cast<int>(static_cast<unsigned>(report.month.month())))) + " " +
               std::to_string(static_cast<int>(report.month.year()));
  book.unit = unit;
  WaterTables water = MakeWaterTables(report, unit);
  MonthTable residuals = ResidualTable(report);
  book.tables = {SummaryTable(report, water, residuals, unit),
                 std::move(water.flush_log),
                 ReadingTable(report),
                 std::move(residuals),
                 std::move(water.water),
                 std::move(water.balance),
                 ByproductTable(report),
                 DechlorinationTable(report),
                 std::move(water.cost),
                 ExceptionTable(report, unit)};
  book.notes = report.notes;
  return book;
}

}  // namespace lastreach
