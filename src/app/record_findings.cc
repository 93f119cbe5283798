#include "app/record_findings.h"

#include <algorithm>
#include <map>

namespace lastreach {
namespace {

constexpr double kOddFlowRatio = 3;

// One finding for the points of the list; none if it is empty.
void AddFinding(const std::string& kind, double how_wrong, const std::vector<FlushPoint>& at,
                size_t all_points, const std::string& effect, const std::string& mend,
                std::vector<Finding>& to) {
  if (at.empty()) return;
  Finding finding;
  finding.kind = kind;
  finding.severity = std::min(
      1.0, how_wrong * static_cast<double>(at.size()) / static_cast<double>(std::max<size_t>(1, all_points)));
  finding.effect = effect;
  finding.mend = mend;
  finding.at = at.front().position;
  for (size_t i = 0; i < std::min<size_t>(at.size(), 6); ++i) {
    finding.where += (i > 0 ? ", " : "") + at[i].code.text();
  }
  if (at.size() > 6) finding.where += " and " + std::to_string(at.size() - 6) + " more";
  for (const FlushPoint& point : at) finding.points.push_back(point.code.text());
  to.push_back(std::move(finding));
}

template <typename Record>
std::map<PointCode, std::vector<Record>> ByPoint(const std::vector<Record>& records) {
  std::map<PointCode, std::vector<Record>> by_point;
  for (const Record& record : records) by_point[record.point].push_back(record);
  return by_point;
}

bool IsUnlike(const FlushPoint& point, const std::vector<FlowTest>& tests) {
  if (!point.flow || tests.empty()) return false;
  const double ratio = tests.back().flow / point.flow->value;
  return ratio >= kOddFlowRatio || ratio * kOddFlowRatio <= 1;
}

}  // namespace

bool WentBack(const std::vector<MeterRead>& reads, std::optional<Volume> turns_over_at) {
  std::optional<Volume> before;
  for (const MeterRead& read : reads) {
    const bool turned =
        before && turns_over_at && *before > *turns_over_at * 0.5 && read.total < *turns_over_at * 0.5;
    if (before && read.total < *before && !turned && !read.is_estimate) return true;
    if (read.is_estimate && !read.new_meter_at) continue;
    before = read.new_meter_at.value_or(read.total);
  }
  return false;
}

Result<std::vector<Finding>> FindFlushFaults(const Project& project, Instant now) {
  const auto points = project.FlushPoints();
  if (!points.ok()) return points.error();
  const auto runs = project.FlushRuns();
  if (!runs.ok()) return runs.error();
  const auto tests = project.FlowTests();
  if (!tests.ok()) return tests.error();
  const auto reads = project.MeterReads();
  if (!reads.ok()) return reads.error();
  auto runs_of = ByPoint(*runs);
  auto tests_of = ByPoint(*tests);
  auto reads_of = ByPoint(*reads);
  std::vector<FlushPoint> future, back, beyond, unlike;
  for (const FlushPoint& point : *points) {
    const auto& ran = runs_of[point.code];
    const auto& read = reads_of[point.code];
    const auto turn = point.meter_turns_over_at;
    if (std::any_of(ran.begin(), ran.end(), [&](const FlushRun& run) { return run.begun > now; }))
      future.push_back(point);
    if (WentBack(read, turn)) back.push_back(point);
    if (turn && std::any_of(read.begin(), read.end(), [&](const MeterRead& r) { return r.total >= *turn; }))
      beyond.push_back(point);
    if (IsUnlike(point, tests_of[point.code])) unlike.push_back(point);
  }
  std::vector<Finding> found;
  const size_t all = points->size();
  AddFinding("run in the future", 0.2, future, all,
             "a run is recorded that has not happened yet: it would be counted as water used",
             "see which date was meant and record the run anew in its place", found);
  AddFinding(
      "meter went back", 0.5, back, all,
      "a meter shows less than before, and no new meter and no turn of the dial is recorded: what went "
      "through cannot be told",
      "read it again; record a new meter with its first reading, or where the dial turns over", found);
  AddFinding("dial beyond its turn", 0.2, beyond, all,
             "a read is more than the dial can show: its unit or its digits are wrong",
             "look how many digits the dial has and what the last one is", found);
  AddFinding(
      "flow unlike the lid's", 1, unlike, all,
      "the flow measured last is 3 times that on the lid or more, or a third or less: the planned minutes "
      "are as wrong",
      "measure again; then put the right flow into the sheet of devices", found);
  return found;
}

}  // namespace lastreach
