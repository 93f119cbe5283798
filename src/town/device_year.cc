#include "town/device_year.h"

#include <cmath>

namespace lastreach {
namespace {

Date InYear(unsigned month, int day) {
  return AddDays(std::chrono::year(kDirtyYear) / std::chrono::month(month) / 1, day - 1);
}

void Keep(DeviceYear& year, SettingsKind kind, const BoxVisit& visit, const TimerSettings& settings,
          std::optional<int> fast_min) {
  SettingsRecord record;
  record.point = year.point.code;
  record.kind = kind;
  record.settings = settings;
  record.recorded = visit.at;
  record.who = visit.who;
  record.why = visit.why;
  record.clock_fast_minutes = fast_min;
  if (kind == SettingsKind::kAsLeft) {
    record.recorded += std::chrono::minutes(10);
    record.revert_by = visit.revert_by;
  }
  year.settings.push_back(std::move(record));
}

}  // namespace

TownRounds MakeTownRounds(uint64_t seed) {
  Seeded seeded(seed);
  TownRounds rounds;
  rounds.reads.push_back(InYear(1, 3));
  for (unsigned month = 2; month <= 12; ++month) rounds.reads.push_back(InYear(month, seeded.Whole(1, 3)));
  rounds.reads.push_back(InYear(12, 33));
  for (Date day = InYear(6, 9); DayNumber(day) < DayNumber(InYear(8, 30)); day = AddDays(day, 7)) {
    rounds.summer_reads.push_back(day);
  }
  for (Date day = InYear(1, 14); DayNumber(day) < DayNumber(InYear(12, 30)); day = AddDays(day, 14)) {
    rounds.samples.push_back(day);
  }
  return rounds;
}

void AddSettingsAndVisits(DeviceYear& year) {
  const TimerSettings* in_box = nullptr;
  int fast_min = 0;
  for (const BoxVisit& visit : year.happened.visits) {
    year.visits.push_back(
        {{}, year.point.code, visit.at, visit.who, visit.why, visit.notes, visit.new_battery, false});
    const bool looked = visit.why.find("caller") == std::string::npos;
    if (in_box != nullptr && looked && visit.wrote_found) {
      Keep(year, SettingsKind::kAsFound, visit, *in_box, fast_min);
    }
    if (visit.keyed) {
      in_box = &*visit.keyed;
      fast_min = visit.left_fast_min;
    }
    // A clock left an hour out was taken to be right, so nobody wrote how far it was off.
    const auto wrote_clock = std::abs(visit.left_fast_min) < 30 ? std::optional(0) : std::nullopt;
    if (visit.written) Keep(year, SettingsKind::kAsLeft, visit, *visit.written, wrote_clock);
  }
}

double TrueResidual_mg_per_l(const DeviceYear& year, Instant moment, const Zone& zone,
                             double short_of_end_m3) {
  const Date day{std::chrono::floor<std::chrono::days>(zone.ToLocal(moment))};
  const bool chloramine = year.basis.is_chloramine;
  const TrueReach reach = TrueReachOn(year.basis, year.happened, day);
  const double age_days = Age_days(reach, year.valve, moment, short_of_end_m3);
  const double enters = UpstreamResidual_mg_per_l(chloramine, day) * UpstreamShare(year.happened, day);
  const double loss_per_day = Decay_per_day(reach, WaterTemperature_c(chloramine, day));
  double residual = enters * std::exp(-loss_per_day * age_days);
  if (year.happened.nitrifies_from) {
    residual *= 1 - 0.75 * Nitrified(year.happened, day);
  }
  return residual;
}

DeviceYear MakeDeviceYear(uint64_t seed, size_t index, std::optional<TroubleKind> trouble,
                          const TownRounds& rounds, const ReadSlips& slips, const Zone& zone) {
  Seeded seeds(seed * 131 + index);
  DeviceYear year;
  year.basis = MakeDeviceBasis(seed, index);
  year.point = year.basis.point;
  year.form = year.basis.form;
  year.reach = year.basis.reach;
  year.happened = MakeDeviceVisits(seeds.Next(), year.basis, trouble, zone);
  year.valve = MakeTrueValve(year.basis, year.happened, zone);
  AddSettingsAndVisits(year);
  AddReads(year, rounds, slips, Seeded(seeds.Next()), zone);
  AddSamples(year, rounds, Seeded(seeds.Next()), zone);
  AddTests(year, Seeded(seeds.Next()), zone);
  return year;
}

}  // namespace lastreach
