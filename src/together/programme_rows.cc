#include "together/programme_rows.h"

namespace lastreach {
namespace {

constexpr int kRelaxedRounds = 60;
constexpr double kShareIgnored = 1e-9;

Shares RelaxedShares(const RelaxedChoice& relaxed, const StaggerSystem& system,
                     const std::vector<size_t>& who) {
  Shares shares(system.devices->size());
  for (size_t i = 0; i < who.size(); ++i) {
    for (uint32_t k = 0; k < system.table.ways(who[i]); ++k) {
      const double share = relaxed.Share(i, k);
      if (share > kShareIgnored) shares[who[i]].emplace_back(k, share);
    }
  }
  return shares;
}

}  // namespace

size_t ProgrammeRows::Add(const Shares& shares, const std::vector<uint32_t>& limits) {
  const size_t before = rows_.size();
  for (const uint32_t limit : limits) {
    for (const OverUse& use : FindOverUse(system_.table, system_.limits, limit, shares, care_, which_)) {
      if (!keys_.emplace(use.limit, use.regime, use.minute, use.wrong).second) continue;
      uses_.push_back(use);
      rows_.push_back(RowOf(use));
    }
  }
  return rows_.size() - before;
}

void ProgrammeRows::Refresh() {
  for (size_t i = 0; i < rows_.size(); ++i) {
    rows_[i].most = RoomAt(system_.limits[uses_[i].limit], which_, uses_[i].minute);
  }
}

ChoiceProgramme::Row ProgrammeRows::RowOf(const OverUse& use) const {
  ChoiceProgramme::Row row;
  const SharedLimit& limit = system_.limits[use.limit];
  row.most = RoomAt(limit, which_, use.minute);
  for (uint32_t i = 0; i < who_.size(); ++i) {
    const double need = limit.need[who_[i]];
    if (need == 0) continue;
    const bool may_be_wrong = care_ == ClockCare::kAllMayBeWrong || use.wrong == static_cast<int>(who_[i]);
    for (uint32_t k = 0; k < system_.table.ways(who_[i]); ++k) {
      const OpenTimes& times = system_.table.At(may_be_wrong, use.regime, who_[i], k);
      if (IsOpenAt(times, use.minute)) row.terms.push_back({i, k, need});
    }
  }
  return row;
}

bool CloseRelaxed(RelaxedChoice& relaxed, ProgrammeRows& rows, const StaggerSystem& system,
                  const std::vector<size_t>& who, const std::vector<uint32_t>& limits) {
  for (const ChoiceProgramme::Row& row : rows.rows()) relaxed.Add(row);
  for (int round = 0; round < kRelaxedRounds; ++round) {
    if (!relaxed.Solve()) return false;
    const size_t before = rows.rows().size();
    if (rows.Add(RelaxedShares(relaxed, system, who), limits) == 0) return true;
    for (size_t i = before; i < rows.rows().size(); ++i) relaxed.Add(rows.rows()[i]);
  }
  return relaxed.Solve();
}

bool CannotAllRun(const StaggerSystem& system, const std::vector<size_t>& who,
                  const std::vector<uint32_t>& limits, ClockCare care) {
  const std::vector<std::vector<double>> cost(CostsOf(system, who));
  ProgrammeRows rows(system, who, care, WhichRoom::kProven);
  RelaxedChoice relaxed(cost);
  if (!CloseRelaxed(relaxed, rows, system, who, limits)) return true;
  for (int round = 0; round < system.options->rounds && !system.IsOutOfTime(); ++round) {
    const Choice choice =
        SolveChoice({cost, rows.rows()}, std::nullopt,
                    {.nodes = system.options->nodes, .seconds = system.options->seconds, .gap = 1});
    if (choice.status == ChoiceStatus::kImpossible) return true;
    if (choice.way.empty()) return false;
    if (rows.Add(SharesOf(system.devices->size(), who, choice.way), limits) == 0) return false;
  }
  return false;
}

}  // namespace lastreach
