#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ostream>

#include "app/simulation_report.h"
#include "app/text_table.h"

namespace lastreach {
namespace {

constexpr double kHoursPerDay = 24;
constexpr size_t kMostNamed = 8;

std::string Number(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

// Hours up to two days, then days: as people say it.
std::string AgeText(double hours) {
  if (!std::isfinite(hours)) return "-";
  return hours < 2 * kHoursPerDay ? Number("%.1f h", hours) : Number("%.1f d", hours / kHoursPerDay);
}

// A kit tells a tenth.
std::string ResidualWord(double mg_per_l) {
  if (!std::isfinite(mg_per_l)) return "-";
  return mg_per_l < 0.05 ? "< 0.1 mg/L" : Number("%.1f mg/L", mg_per_l);
}

std::string ValueText(Quantity quantity, double told) {
  if (!std::isfinite(told)) return "-";
  if (quantity == Quantity::kAge) return AgeText(told);
  if (quantity == Quantity::kThm) return Number("%.0f ug/L", told);
  return Number(quantity == Quantity::kChlorine ? "%.2f mg/L" : "%.1f %%", told);
}

// Indices of the worst values, the worst first; what is not known is left out.
std::vector<size_t> Worst(const std::vector<double>& values, bool low_is_worse, size_t most) {
  std::vector<size_t> order;
  for (size_t i = 0; i < values.size(); ++i) {
    if (std::isfinite(values[i])) order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) {
    return low_is_worse ? values[a] < values[b] : values[a] > values[b];
  });
  order.resize(std::min(order.size(), most));
  return order;
}

void PrintSeries(const SimulationTold& told, std::ostream& out) {
  std::vector<std::vector<std::string>> rows = {{"hour"}};
  for (const std::string& name : told.names) rows.front().push_back(name);
  for (size_t t = 0; t < told.answer.times_h.size(); ++t) {
    std::vector<std::string> row = {Number("%g", told.answer.times_h[t])};
    for (size_t i = 0; i < told.names.size(); ++i) {
      row.push_back(ValueText(told.track, Told(told.track, told.answer.series[0][i][t])));
    }
    rows.push_back(std::move(row));
  }
  out << TextTable(rows);
}

void PrintWorstNodes(const SimulationTold& told, std::ostream& out) {
  const bool age = told.track == Quantity::kAge;
  const NodeExtremes& extremes = age ? told.answer.age_s : told.answer.chlorine_mg_per_l;
  std::vector<std::vector<std::string>> rows;
  for (const size_t i : Worst(extremes.worst, !age, kMostNamed)) {
    rows.push_back({told.network.nodes[i].id, ValueText(told.track, Told(told.track, extremes.worst[i])),
                    "by hour " + Number("%g", extremes.worst_hour[i])});
  }
  out << (age ? "Oldest, mean over a step:\n" : "Lowest, mean over a step:\n") << TextTable(rows);
}

void PrintShares(const SimulationTold& told, std::ostream& out) {
  out << "The water of " << told.network[*told.ask.source].id << " (" << told.source_note
      << "); name nodes with --at, or ask for --json\n";
}

void PrintEndsTable(const SimulationTold& told, std::ostream& out) {
  const std::vector<EndOutcome> outcomes = EndOutcomes(told);
  const bool age = told.track == Quantity::kAge;
  std::vector<double> values;
  // Water of the start tells nothing but that it stands.
  const std::vector<NodeIndex>& from_start = told.answer.warm_up.from_start;
  size_t standing = 0;
  for (const EndOutcome& outcome : outcomes) {
    const bool stands = std::binary_search(from_start.begin(), from_start.end(), outcome.node);
    standing += stands ? 1 : 0;
    values.push_back(stands ? std::nan("") : age ? outcome.age_h : outcome.chlorine_mg_per_l);
  }
  std::vector<std::vector<std::string>> rows = {
      {"id", "kind", "where", "device", "age", "residual", "judged"}};
  for (const size_t i : Worst(values, !age, 2 * kMostNamed)) {
    const EndNode& end = told.project->ends[i];
    rows.push_back({end.place.id, std::string(ToText(end.place.kind)), Shortened(end.place.street, 22),
                    end.device ? told.project->devices[*end.device].code : "-", AgeText(outcomes[i].age_h),
                    ResidualWord(outcomes[i].chlorine_mg_per_l),
                    outcomes[i].at_gap_end ? "after " + Number("%.0f h", outcomes[i].gap_h) + " without a run"
                                           : "last customer, worst hour"});
  }
  out << (age ? "Ends with the oldest water:\n" : "Ends with the lowest residual:\n") << TextTable(rows);
  if (standing > 0) {
    out << "  and " << standing << (standing == 1 ? " place" : " places")
        << " where the water only stands: its age cannot be told\n";
  }
}

void PrintServices(const SimulationTold& told, std::ostream& out) {
  const bool age = told.track == Quantity::kAge;
  const NodeExtremes& extremes = age ? told.answer.age_s : told.answer.chlorine_mg_per_l;
  std::vector<double> values;
  for (const ServiceNode& service : told.project->services)
    values.push_back(extremes.worst[At(service.node)]);
  const auto word = [age](double value) {
    return age ? AgeText(Told(Quantity::kAge, value)) : ResidualWord(value);
  };
  std::vector<std::vector<std::string>> rows = {
      {"service", "street", "worst hour", "mean of the worst week"}};
  for (const size_t i : Worst(values, !age, kMostNamed)) {
    const ServiceNode& service = told.project->services[i];
    rows.push_back({service.id, Shortened(service.street, 22), word(values[i]),
                    word(extremes.worst_week[At(service.node)])});
  }
  out << "\nServices that fare worst:\n" << TextTable(rows);
}

void PrintWarmUp(const SimulationTold& told, std::ostream& out) {
  const WarmUp& warm = told.answer.warm_up;
  out << "Warmed up through the week before, " << warm.weeks << (warm.weeks == 1 ? " time" : " times");
  if (warm.settled) {
    out << ": nothing depends on the start any more\n";
    return;
  }
  out << "; water of the start is left at " << warm.from_start.size() << " of " << told.network.nodes.size()
      << " nodes, where hardly any or none is drawn";
  for (size_t i = 0; i < std::min(warm.from_start.size(), kMostNamed); ++i) {
    out << (i == 0 ? ": " : ", ") << told.network[warm.from_start[i]].id;
  }
  out << (warm.from_start.size() > kMostNamed ? ", ...\n" : "\n");
}

void PrintBalances(const SimulationTold& told, std::ostream& out) {
  const FlowSimulationSummary& flows = told.answer.flows;
  out << "Water: " << Number("%.1f m3 given, ", flows.given_m3) << Number("%.1f drawn, ", flows.drawn_m3)
      << Number("%.1f more in tanks; ", flows.tank_change_m3)
      << Number("%.0e m3 missing\n", flows.Imbalance_m3());
  if (told.answer.disinfectant) {
    const NetworkMassAccount& account = *told.answer.disinfectant;
    out << "Disinfectant" << (told.project != nullptr ? ", warm-up and all: " : ": ")
        << Number("%.0f g entered, ", account.entered_g) << Number("%.0f drawn, ", account.left_g)
        << Number("%.0f lost, ", account.decayed_in_links_g + account.decayed_in_tanks_g)
        << Number("%.0f held; ", account.held_g) << Number("%.0e g missing\n", account.imbalance_g());
  }
  out << "The pieces the water is carried in may put an answer off by no more than";
  if (told.ask.age) out << Number(" %.2g h of age", told.answer.age_error_s / kSecondsPerHour);
  if (told.ask.chlorine) {
    const double error = told.answer.chlorine_error;
    out << (told.ask.age ? "," : "")
        << (told.answer.reacting ? Number(" %.2g mg/L", error)
                                 : Number(" %.2g %% of a residual", 100 * error));
  }
  if (told.ask.thm) out << Number(", %.2g ug/L of THM", told.answer.thm_error);
  if (told.ask.source) out << Number(" %.2g %% of a share", 100 * told.answer.share_error);
  out << "\n";
}

}  // namespace

void PrintSimulation(const SimulationTold& told, std::ostream& out) {
  if (told.project != nullptr) {
    out << "From " << FormatDate(told.project->from) << ", " << Number("%g", told.ask.hours) << " h. ";
    PrintWarmUp(told, out);
  } else {
    out << Number("%g", told.ask.hours) << " h from water of age 0\n";
  }
  out << "Flows: " << told.answer.flows.BriefReport(told.network) << "\n";
  PrintBalances(told, out);
  if (told.project != nullptr) {
    for (const std::string& note : told.project->notes) out << "! " << note << "\n";
  }
  out << "\n";
  if (!told.names.empty()) {
    PrintSeries(told, out);
  } else if (told.track == Quantity::kSourceShare) {
    PrintShares(told, out);
  } else if (told.track == Quantity::kThm) {
    out << "THM: name nodes with --at, or ask for --json\n";
  } else if (told.project != nullptr) {
    PrintEndsTable(told, out);
    if (!told.project->services.empty()) PrintServices(told, out);
  } else {
    PrintWorstNodes(told, out);
  }
  if (told.project == nullptr) return;
  out << "\nIt rests on:\n";
  std::vector<std::vector<std::string>> rows;
  for (const NumberUsed& used : told.project->numbers) rows.push_back({used.what, used.value, used.origin});
  out << TextTable(rows);
  out << "A computed picture, not a reading. The licensed operator in charge decides.\n";
}

}  // namespace lastreach
