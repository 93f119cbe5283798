#include "together/shared_limit.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace lastreach {
namespace {

constexpr size_t kHours = 24;
constexpr double kLitres = 1000;  // a m3

std::string Where(const std::string& zone) { return zone.empty() ? "" : " in zone " + zone; }

SharedLimit AllDay(size_t devices, double room, std::string words) {
  SharedLimit limit;
  limit.words = std::move(words);
  limit.need.assign(devices, 0);
  limit.room.assign(kHours, room);
  limit.kept_room = limit.room;
  return limit;
}

// Uses of one limit in one regime, by minute.
struct MinuteUse {
  std::vector<double> sum;         // of those always counted
  std::vector<double> most_extra;  // the most that one wrong clock would add
  std::vector<int> who;            // whose
};

void AddTimes(const OpenTimes& times, double amount, std::vector<double>& by_minute) {
  for (const OpenStretch& stretch : times) {
    for (int m = stretch.from_min; m < stretch.to_min; ++m) by_minute[static_cast<size_t>(m)] += amount;
  }
}

// What device d would add with its clock wrong, taken into the most.
void AddExtra(const TimeTable& table, int regime, size_t d, double need, const WayShares& ways,
              std::vector<double>& scratch, MinuteUse& use) {
  for (const auto& [way, share] : ways) {
    AddTimes(table.May(regime, d, way), need * share, scratch);
    AddTimes(table.Right(regime, d, way), -need * share, scratch);
  }
  for (const auto& [way, share] : ways) {
    for (const OpenStretch& stretch : table.May(regime, d, way)) {
      for (auto m = static_cast<size_t>(stretch.from_min); m < static_cast<size_t>(stretch.to_min); ++m) {
        if (scratch[m] > use.most_extra[m]) {
          use.most_extra[m] = scratch[m];
          use.who[m] = static_cast<int>(d);
        }
        scratch[m] = 0;
      }
    }
  }
}

MinuteUse UseOf(const TimeTable& table, int regime, const SharedLimit& limit, const Shares& shares,
                ClockCare care) {
  const auto minutes = static_cast<size_t>(table.period_min());
  MinuteUse use{std::vector<double>(minutes, 0), {}, {}};
  for (size_t d = 0; d < shares.size(); ++d) {
    if (limit.need[d] == 0) continue;
    for (const auto& [way, share] : shares[d]) {
      AddTimes(table.At(care == ClockCare::kAllMayBeWrong, regime, d, way), limit.need[d] * share, use.sum);
    }
  }
  if (care != ClockCare::kAnyOneMayBeWrong) return use;
  use.most_extra.assign(minutes, 0);
  use.who.assign(minutes, -1);
  std::vector<double> scratch(minutes, 0);
  for (size_t d = 0; d < shares.size(); ++d) {
    if (limit.need[d] > 0) AddExtra(table, regime, d, limit.need[d], shares[d], scratch, use);
  }
  return use;
}

}  // namespace

std::vector<SharedLimit> LimitsAtOnce(const std::vector<TogetherDevice>& devices,
                                      const std::vector<MostAtOnce>& limits,
                                      const std::vector<NotTogether>& conflicts) {
  std::vector<SharedLimit> shared;
  const auto for_zone = [&](SharedLimit limit, const std::string& zone, auto need) {
    for (size_t d = 0; d < devices.size(); ++d) {
      if (zone.empty() || devices[d].zone == zone) limit.need[d] = need(devices[d]);
    }
    shared.push_back(std::move(limit));
  };
  for (const MostAtOnce& most : limits) {
    if (most.devices) {
      const std::string words = "at most " + std::to_string(*most.devices) + " devices open at once" +
                                Where(most.zone) + " (source: " + most.source + ")";
      for_zone(AllDay(devices.size(), *most.devices, words), most.zone,
               [](const TogetherDevice&) { return 1.0; });
    }
    if (most.flow_m3_per_s) {
      char text[48];
      std::snprintf(text, sizeof text, "at most %.3g L/s at once", *most.flow_m3_per_s * kLitres);
      const std::string words = text + Where(most.zone) + " (source: " + most.source + ")";
      for_zone(AllDay(devices.size(), *most.flow_m3_per_s * kLitres, words), most.zone,
               [](const TogetherDevice& device) { return device.flow_m3_per_s * kLitres; });
    }
  }
  for (const NotTogether& conflict : conflicts) {
    SharedLimit limit =
        AllDay(devices.size(), static_cast<double>(conflict.devices.size()) - 1, conflict.words);
    for (const size_t d : conflict.devices) limit.need[d] = 1;
    for (size_t hour = 0; hour < kHours; ++hour) {
      if (conflict.hour && static_cast<size_t>(*conflict.hour) != hour) limit.room[hour] = kNoLimit;
    }
    limit.kept_room = limit.room;
    shared.push_back(std::move(limit));
  }
  return shared;
}

std::vector<OverUse> FindOverUse(const TimeTable& table, const std::vector<SharedLimit>& limits,
                                 uint32_t limit, const Shares& shares, ClockCare care, WhichRoom which) {
  std::vector<OverUse> found;
  const SharedLimit& shared = limits[limit];
  for (int regime = 0; regime < table.regimes(); ++regime) {
    const MinuteUse use = UseOf(table, regime, shared, shares, care);
    for (int hour = 0; hour < table.period_min() / 60; ++hour) {
      const double room = RoomAt(shared, which, hour * 60);
      if (room == kNoLimit) continue;
      OverUse worst{limit, regime, 0, -1, kNeedTolerance};
      bool any = false;
      for (int minute = hour * 60; minute < hour * 60 + 60; ++minute) {
        const auto m = static_cast<size_t>(minute);
        const double extra = use.most_extra.empty() ? 0 : use.most_extra[m];
        const double over = use.sum[m] + extra - room;
        if (over <= worst.over) continue;
        any = true;
        worst.over = over;
        worst.minute = minute;
        worst.wrong = extra > 0 ? use.who[m] : -1;
      }
      if (any) found.push_back(worst);
    }
  }
  return found;
}

}  // namespace lastreach
