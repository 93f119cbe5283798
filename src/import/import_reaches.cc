// Pipes of reaches and the services on them, when they come in sheets of their own.
#include "import/row_imports.h"

namespace lastreach {

void ImportReachPipe(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const size_t listed = result.left_out.size();
  const auto length = As(row.Measure("length", kLengths), Length::Metres);
  const auto diameter = As(row.Measure("diameter", kDiameters), Diameter::Millimetres, 1000);
  if (!length || !diameter) {
    const std::string field = length ? "diameter" : "length";
    // The reason found while reading the cell.
    const std::string reason =
        result.left_out.size() > listed ? result.left_out[listed].reason : "the " + field + " is missing";
    return row.Reject(field, reason);
  }
  ReachPipe pipe{*length,
                 *diameter,
                 row.Known("material"),
                 {0, {OriginKind::kAssumed, "import", {}, "nobody said how many"}},
                 {}};
  if (const auto services = row.Count("services", 100000)) pipe.services = *services;
  pipe.demand = As(row.Measure("demand", kDemands), Flow::CubicMetresPerSecond);
  const auto [at, added] = seen.reach_of.emplace(point->text(), result.reaches.size());
  if (added) result.reaches.push_back({*point, {}, {}});
  Reach& reach = result.reaches[at->second];
  reach.pipes.push_back(std::move(pipe));
  if (const auto residual =
          As(row.Measure("upstream_residual", kResiduals), Concentration::MilligramsPerLitre)) {
    reach.upstream_residual = residual;
  }
}

void ImportServices(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  Sourced<int> count{1, row.OriginOf(false, "")};
  if (row.HasColumn("services")) {
    const size_t listed = result.left_out.size();
    const auto said = row.Count("services", 100000);
    if (!said) {
      const std::string reason = result.left_out.size() > listed ? result.left_out[listed].reason
                                                                 : "the number of services is missing";
      return row.Reject("services", reason);
    }
    count = *said;
  }
  const auto pipe = row.Count("pipe", 1000);
  const auto demand = As(row.Measure("demand", kDemands), Flow::CubicMetresPerSecond);
  std::optional<int> position;
  if (pipe) position = pipe->value;
  const std::string key = point->text() + "\n" + std::to_string(position.value_or(0));
  const auto [at, added] = seen.services_of.emplace(key, result.services.size());
  if (added) {
    result.services.push_back({*point, position, count, demand});
    return;
  }
  ServiceTotal& total = result.services[at->second];
  total.services.value += count.value;
  if (count.origin.kind == OriginKind::kEstimated) total.services.origin.kind = OriginKind::kEstimated;
  if (!demand) return;
  if (!total.demand) {
    total.demand = demand;
  } else {
    total.demand->value = total.demand->value + demand->value;
    total.demand->origin.note = "sum of the sheet's rows";
  }
}

}  // namespace lastreach
