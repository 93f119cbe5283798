#include "app/keep_results.h"

namespace lastreach {
namespace {

struct Kind {
  ResultKind kind;
  bool of_links;
  const char* unit;
  std::vector<float> KeptStep::*numbers;
};

constexpr Kind kKinds[] = {{ResultKind::kPressure, false, "m", &KeptStep::pressure_m},
                           {ResultKind::kFlow, true, "m3/s", &KeptStep::flow_m3_per_s},
                           {ResultKind::kAge, false, "h", &KeptStep::age_h},
                           {ResultKind::kChlorine, false, "mg/L", &KeptStep::chlorine_mg_per_l},
                           {ResultKind::kSource, false, "%", &KeptStep::source_percent}};

}  // namespace

Status KeepResults(Project& project, const ProjectSimulation& prepared, const SimulationAsk& ask,
                   const Simulated& answer, const std::string& source_note, Instant now) {
  return project.InTransaction([&]() -> Status {
    for (const Kind& kind : kKinds) {
      if (answer.kept.empty() || (answer.kept.front().*kind.numbers).empty()) continue;
      NetworkResult result;
      result.made = now;
      result.kind = kind.kind;
      result.of_links = kind.of_links;
      result.unit = kind.unit;
      result.begins = prepared.begins;
      result.hours = ask.hours;
      result.step_h = ask.step_s / kSecondsPerHour;
      if (kind.kind == ResultKind::kSource) result.note = source_note;
      const auto id = project.AddResult(result);
      if (!id.ok()) return id.error();
      for (const KeptStep& step : answer.kept) {
        if (Status put = project.AddResultStep(*id, step.hour, step.*kind.numbers); !put.ok()) return put;
      }
    }
    return Ok();
  });
}

}  // namespace lastreach
