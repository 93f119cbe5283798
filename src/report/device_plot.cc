#include "report/device_plot.h"

#include <cmath>

#include "calendar/runs.h"
#include "core/zone.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

// The runs of `settings` on the days a series covers, on the clock as it was last found.
std::vector<Run> RunsShown(const DevicePlan& device, const TimerSettings& settings,
                           const ResidualSeries& series, const Zone& zone, int fast_minutes) {
  if (series.hours.empty()) return {};
  const Instant begin = series.begin;
  const Instant end = begin + chrono::seconds(std::llround(series.hours.back() * 3600));
  const Date first{chrono::floor<chrono::days>(zone.ToLocal(begin))};
  const Date last{chrono::floor<chrono::days>(zone.ToLocal(end))};
  const ClockState clock{device.form.follows_clock_change.value_or(false), fast_minutes};
  return ExpandRuns(device.form, settings, zone, {first, AddDays(last, 1)}, clock);
}

}  // namespace

Result<ResidualPlot> PlotOf(const DevicePlan& device, const SystemPlan& plan) {
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  ResidualPlot plot;
  const std::optional<Outcome>& outcome =
      device.planned_outcome ? device.planned_outcome : device.present_outcome;
  plot.title = device.point.code.text();
  plot.title += ", residual";
  if (outcome && !outcome->lowest_at.words.empty()) plot.title += " at " + outcome->lowest_at.words;
  plot.title += ", mg/L";
  plot.target_mg_per_l = device.target_mg_per_l;
  // A visit sets the clock right, so only what is keyed now runs on the clock as it was found.
  plot.planned = {"planned", device.planned_series,
                  RunsShown(device, device.settings, device.planned_series, *zone, 0)};
  if (device.present) {
    const int fast_minutes = static_cast<int>(std::lround(device.fast_clock_minutes));
    plot.present = {"present", device.present_series,
                    RunsShown(device, *device.present, device.present_series, *zone, fast_minutes)};
  }
  return plot;
}

bool HasLines(const ResidualPlot& plot) {
  return !plot.present.residual.hours.empty() || !plot.planned.residual.hours.empty();
}

}  // namespace lastreach
