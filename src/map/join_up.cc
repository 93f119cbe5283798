#include "map/join_up.h"

#include "map/build_network.h"
#include "map/clean.h"
#include "map/joiner.h"

namespace lastreach {

Result<JoinedMap> JoinUp(const Drawing& drawing, const std::vector<RepairDecision>& decisions,
                         const JoinOptions& options) {
  if (drawing.mains.empty()) return BadInput("there are no mains to join");
  CleanLines clean = Clean(drawing, options.same_point_m);
  if (clean.lines.empty()) {
    const SetAside& first = clean.set_aside.front();
    return BadInput("no main takes part; of the first, " + first.reason,
                    {first.key.layer, {}, "", first.key.key});
  }

  Joiner joiner(drawing, clean.plane, std::move(clean.lines), decisions, options);
  joiner.CloseGaps();
  joiner.JudgeCrossings();
  joiner.BringInIslands();

  JoinedMap joined;
  joined.summary = joiner.Summary();
  joined.repairs = joiner.TakeRepairs();
  BuiltNetwork built = BuildNetwork(joiner.noding(), drawing, clean.plane);
  joined.network = std::move(built.network);
  joined.set_aside = std::move(clean.set_aside);
  joined.set_aside.insert(joined.set_aside.end(), built.set_aside.begin(), built.set_aside.end());
  return joined;
}

}  // namespace lastreach
