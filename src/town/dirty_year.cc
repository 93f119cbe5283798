#include "town/dirty_year.h"

#include <algorithm>

#include "town/geography.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

// A trouble that few devices can have chooses first.
int Choosiness(TroubleKind kind) {
  switch (kind) {
    case TroubleKind::kNitrification:
    case TroubleKind::kForgottenBurn:
      return 2;
    case TroubleKind::kPercentLeft:
    case TroubleKind::kDoubleKeyed:
      return 1;
    default:
      return 0;
  }
}

// By device, its trouble if it has one.
std::vector<std::optional<TroubleKind>> Placed(const DirtyYearOptions& options, Seeded seeded) {
  std::vector<std::optional<TroubleKind>> placed(Devices().size());
  std::vector<TroubleKind> kinds = options.troubles;
  std::stable_sort(kinds.begin(), kinds.end(),
                   [](TroubleKind a, TroubleKind b) { return Choosiness(a) > Choosiness(b); });
  for (const TroubleKind kind : kinds) {
    std::vector<size_t> free;
    for (size_t i = 0; i < placed.size(); ++i) {
      if (!placed[i] && CanHave(MakeDeviceBasis(options.seed, i), kind)) free.push_back(i);
    }
    placed[free[static_cast<size_t>(seeded.Whole(0, static_cast<int>(free.size()) - 1))]] = kind;
  }
  return placed;
}

}  // namespace

DirtyYear MakeDirtyYear(const DirtyYearOptions& options) {
  const Zone zone = *Zone::Find(kTownZoneName);
  Seeded seeds(options.seed);
  const TownRounds rounds = MakeTownRounds(seeds.Next());
  const std::vector<std::optional<TroubleKind>> placed = Placed(options, Seeded(seeds.Next()));
  DirtyYear year;
  year.forms = TownForms();
  year.zones = TownZones();
  for (size_t i = 0; i < placed.size(); ++i) {
    year.devices.push_back(MakeDeviceYear(options.seed, i, placed[i], rounds, options.slips, zone));
    const std::optional<Trouble>& trouble = year.devices.back().happened.trouble;
    if (trouble) year.troubles.push_back(*trouble);
  }
  year.hand_ends = HandEndPoints();
  year.hand_flushes = MakeHandFlushes(year.hand_ends, Seeded(seeds.Next()), zone);
  year.byproducts = MakeByproducts(Seeded(seeds.Next()));
  year.supplied = MakeSupplied(year.devices, Seeded(seeds.Next()), zone);
  return year;
}

}  // namespace lastreach
