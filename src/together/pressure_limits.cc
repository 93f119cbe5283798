#include "together/pressure_limits.h"

#include <algorithm>
#include <cstdio>
#include <set>

namespace lastreach {
namespace {

constexpr double kJudgedWithin_m = 1e-3;  // as JudgedSet::Holds
// A device that takes less than this of what there is to spare anywhere is not looked after at the start.
constexpr double kWorthAPlace = 0.05;
constexpr double kLessBy = 10 * kNeedTolerance;  // than the sum that breaks

double SumOf(const SharedLimit& limit, const OpenSet& set) {
  double sum = 0;
  for (const uint32_t d : set) sum += limit.need[d];
  return sum;
}

}  // namespace

bool PressureLimits::SharesDrops(size_t a, size_t b) const {
  return judge_->DropStateOf(a) == judge_->DropStateOf(b);
}

std::string PressureLimits::PlaceWords(uint32_t place) const {
  const LeastPressureThere& limit = judge_->LimitOf(place);
  char text[64];
  std::snprintf(text, sizeof text, " at least %.1f m (source: ", limit.least_m);
  return "pressure at " + judge_->moments().network[judge_->places()[place]].id + text + limit.source + ")";
}

size_t PressureLimits::LimitAt(uint32_t place, size_t state, std::vector<SharedLimit>& limits) {
  const auto [found, added] = at_.try_emplace({place, judge_->DropStateOf(state)}, limits.size());
  if (!added) return found->second;
  SharedLimit limit;
  limit.words = PlaceWords(place);
  for (uint32_t d = 0; d < judge_->devices(); ++d) limit.need.push_back(judge_->Drop_m(state, d)[place]);
  for (const uint32_t each : judge_->moments().state_of_moment) {
    const double spare_m = judge_->Spare_m(each)[place];
    limit.room.push_back(SharesDrops(each, state) ? spare_m + kJudgedWithin_m : kNoLimit);
  }
  limit.kept_room = limit.room;
  limits.push_back(std::move(limit));
  return found->second;
}

void PressureLimits::AddFirst(const std::vector<size_t>& who, const std::vector<size_t>& states,
                              std::vector<SharedLimit>& limits) {
  const size_t places = judge_->places().size();
  if (who.empty() || places == 0) return;
  std::set<size_t> done;
  for (const size_t state : states) {
    if (!done.insert(judge_->DropStateOf(state)).second) continue;
    std::vector<double> spare_m(places, kNoLimit);
    for (const size_t other : states) {
      if (!SharesDrops(other, state)) continue;
      for (size_t p = 0; p < places; ++p) spare_m[p] = std::min(spare_m[p], judge_->Spare_m(other)[p]);
    }
    std::set<uint32_t> chosen;
    std::vector<double> all(places, 0);
    for (const size_t d : who) {
      const std::span<const float> drop = judge_->Drop_m(state, static_cast<uint32_t>(d));
      double most = kWorthAPlace;
      std::optional<uint32_t> worst;
      for (uint32_t p = 0; p < places; ++p) {
        const double share = drop[p] / (spare_m[p] + kJudgedWithin_m);
        all[p] += share;
        if (share <= most) continue;
        most = share;
        worst = p;
      }
      if (worst) chosen.insert(*worst);
    }
    const auto most = std::max_element(all.begin(), all.end());
    if (*most > 1) chosen.insert(static_cast<uint32_t>(most - all.begin()));
    for (const uint32_t place : chosen) LimitAt(place, state, limits);
  }
}

void PressureLimits::Forbid(const BrokenSet& broken, std::vector<SharedLimit>& limits) {
  ++sets_;
  SharedLimit limit;
  const OpenSet& set = broken.open;
  limit.words = PlaceWords(broken.judged.place) + " with";
  for (size_t i = 0; i < set.size(); ++i) {
    limit.words += (i == 0 ? " " : i + 1 == set.size() ? " and " : ", ") + codes_[set[i]];
  }
  limit.words += " open together";
  limit.need.assign(judge_->devices(), 0);
  for (const uint32_t d : set) limit.need[d] = 1;
  for (const uint32_t each : judge_->moments().state_of_moment) {
    limit.room.push_back(each == broken.state ? static_cast<double>(set.size()) - 1 : kNoLimit);
  }
  limit.kept_room = limit.room;
  limits.push_back(std::move(limit));
}

bool PressureLimits::KeepsOut(const BrokenSet& broken, std::vector<SharedLimit>& limits) {
  const SharedLimit& limit = limits[LimitAt(broken.judged.place, broken.state, limits)];
  return SumOf(limit, broken.open) > RoomIn(limit, broken.state) + kNeedTolerance;
}

double PressureLimits::RoomIn(const SharedLimit& limit, size_t state) const {
  const std::vector<uint32_t>& of_moment = judge_->moments().state_of_moment;
  const auto moment = std::find(of_moment.begin(), of_moment.end(), static_cast<uint32_t>(state));
  return limit.kept_room[static_cast<size_t>(moment - of_moment.begin())];
}

void PressureLimits::Learn(const BrokenSet& broken, size_t devices, std::vector<SharedLimit>& limits) {
  if (!broken.judged.solved) return Forbid(broken, limits);
  if (KeepsOut(broken, limits)) return;
  const BrokenSet least = SmallestBreaking(*judge_, broken);
  if (!least.judged.solved) return Forbid(least, limits);
  if (KeepsOut(least, limits)) return;
  SharedLimit& limit = limits[LimitAt(least.judged.place, least.state, limits)];
  const double share = (SumOf(limit, least.open) - kLessBy) / RoomIn(limit, least.state);
  if (devices <= exact_up_to_ || least.open.size() <= 2 || !(share > 0)) return Forbid(least, limits);
  lessened_ = true;
  for (double& room : limit.kept_room) room *= share;
}

}  // namespace lastreach
