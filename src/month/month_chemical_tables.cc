#include "month/month_chemical_tables.h"

namespace lastreach {
namespace {

std::string Basis(const MonthDechlorination& use) {
  if (use.agent.empty()) return "nobody knows this agent";
  std::string basis = !use.dose_mg_per_mg ? "its dose depends on pH and time: give your own"
                      : use.dose_is_own   ? "own dose"
                                          : "by the reaction alone";
  if (use.residual_is_zones) basis += "; residual of the zone";
  if (!use.residual_mg_per_l) basis += "; no residual known";
  return basis;
}

}  // namespace

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

}  // namespace lastreach
