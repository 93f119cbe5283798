#include "evidence/settings_timeline.h"

#include <algorithm>
#include <cstdlib>

namespace lastreach {
namespace {

// Records of what stood there, one for each moment and kind.
std::vector<SettingsRecord> InTheGround(const std::vector<SettingsRecord>& records) {
  std::vector<SettingsRecord> kept;
  for (const SettingsRecord& record : records) {
    if (record.kind == SettingsKind::kPlanned) continue;
    if (!kept.empty() && kept.back().recorded == record.recorded && kept.back().kind == record.kind) {
      kept.back() = record;
    } else {
      kept.push_back(record);
    }
  }
  // Written down at the same moment, what was found comes before what was left.
  std::stable_sort(kept.begin(), kept.end(), [](const SettingsRecord& a, const SettingsRecord& b) {
    if (a.recorded != b.recorded) return a.recorded < b.recorded;
    return a.kind == SettingsKind::kAsFound && b.kind == SettingsKind::kAsLeft;
  });
  return kept;
}

TimerSettings WithoutEmpty(TimerSettings settings) {
  std::erase_if(settings.programmes, [](const Programme& p) { return p.starts_min.empty(); });
  for (Programme& programme : settings.programmes) {
    std::sort(programme.starts_min.begin(), programme.starts_min.end());
  }
  return settings;
}

SettingsStretch StretchBetween(const SettingsRecord& left, const SettingsRecord* found, Instant to) {
  SettingsStretch stretch;
  stretch.from = left.recorded;
  stretch.to = to;
  stretch.settings = left.settings;
  stretch.left_by = left.id;
  stretch.clock_fast_at_start_min = left.clock_fast_minutes;
  if (found == nullptr || found->kind != SettingsKind::kAsFound) return stretch;
  stretch.found_by = found->id;
  stretch.clock_fast_at_end_min = found->clock_fast_minutes;
  if (!RunAlike(left.settings, found->settings)) stretch.found = found->settings;
  return stretch;
}

}  // namespace

int SettingsStretch::ClockFast_min() const {
  if (!clock_fast_at_end_min) return clock_fast_at_start_min.value_or(0);
  if (!clock_fast_at_start_min) return *clock_fast_at_end_min;
  return (*clock_fast_at_start_min + *clock_fast_at_end_min) / 2;
}

bool RunAlike(const TimerSettings& a, const TimerSettings& b) {
  const TimerSettings x = WithoutEmpty(a), y = WithoutEmpty(b);
  const bool neither = (!x.on || x.programmes.empty()) && (!y.on || y.programmes.empty());
  return neither || x == y;
}

std::vector<SettingsStretch> SettingsTimeline(const std::vector<SettingsRecord>& records, Instant from,
                                              Instant to) {
  const std::vector<SettingsRecord> known = InTheGround(records);
  std::vector<SettingsStretch> stretches;
  if (known.empty() || from >= to) return stretches;
  const SettingsRecord& first = known.front();
  if (first.kind == SettingsKind::kAsFound && from < first.recorded) {
    SettingsStretch before = StretchBetween(first, &first, first.recorded);
    before.from = from;
    before.only_found = true;
    before.left_by = {};
    before.clock_fast_at_start_min.reset();
    stretches.push_back(before);
  }
  for (size_t i = 0; i < known.size(); ++i) {
    const SettingsRecord* next = i + 1 < known.size() ? &known[i + 1] : nullptr;
    stretches.push_back(StretchBetween(known[i], next, next != nullptr ? next->recorded : to));
  }
  // A stretch that ends in a change nobody dated keeps its own ends: the odds of when depend on them.
  std::erase_if(stretches, [&](const SettingsStretch& s) { return s.to <= from || s.from >= to; });
  std::erase_if(stretches, [](const SettingsStretch& s) { return s.from >= s.to; });
  for (SettingsStretch& stretch : stretches) {
    if (stretch.found) continue;
    stretch.from = std::max(stretch.from, from);
    stretch.to = std::min(stretch.to, to);
  }
  return stretches;
}

std::vector<SettingsDifference> SettingsDifferences(const std::vector<SettingsRecord>& records) {
  std::vector<SettingsDifference> differences;
  const SettingsRecord* planned = nullptr;
  const SettingsRecord* ground = nullptr;
  for (const SettingsRecord& record : records) {
    if (record.kind == SettingsKind::kPlanned) {
      planned = &record;
      continue;
    }
    if (record.kind == SettingsKind::kAsFound && ground != nullptr &&
        !RunAlike(ground->settings, record.settings)) {
      differences.push_back({*ground, record});
    }
    if (record.kind == SettingsKind::kAsLeft && planned != nullptr &&
        !RunAlike(planned->settings, record.settings)) {
      differences.push_back({*planned, record});
    }
    ground = &record;
  }
  std::reverse(differences.begin(), differences.end());
  return differences;
}

}  // namespace lastreach
