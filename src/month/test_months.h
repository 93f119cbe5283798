#pragma once

#include "evidence/test_records.h"
#include "month/make_month.h"
#include "month/month_tables.h"

namespace lastreach {

// An invented August: a metered device that did as it was set, one that used too much, one without a meter
// that is fed sulfite, and an end flushed by hand.

inline Sample TestSample(const char* point, const char* day, double mg_per_l, bool below_detection = false) {
  Sample sample;
  sample.point = PointCode(point);
  sample.day = Day(day);
  sample.minute_of_day = 545;
  sample.residual = Concentration::MilligramsPerLitre(mg_per_l);
  sample.below_detection = below_detection;
  sample.original = below_detection ? "ND" : "";
  sample.who = "KB";
  return sample;
}

inline MeterRead TestRead(const char* point, const char* day, double m3) {
  MeterRead read;
  read.point = PointCode(point);
  read.day = Day(day);
  read.minute_of_day = 600;
  read.total = Volume::CubicMetres(m3);
  return read;
}

inline PointRecords NightlyDevice(const char* code, int start_min, int minutes) {
  PointRecords records = TestPoint();
  records.point.code = PointCode(code);
  records.point.supply_zone = code[1] < '3' ? "North" : "South";
  records.settings.push_back(
      Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({start_min}, minutes)));
  return records;
}

inline MonthFacts TestMonth() {
  MonthFacts facts;
  facts.month = std::chrono::year(2026) / 8;
  facts.zone = TestZone();
  facts.now = At("2026-10-02", 8);
  PointRecords steady = NightlyDevice("P1", 60, 31);
  steady.reads = {TestRead("P1", "2026-07-29", 10), TestRead("P1", "2026-09-02", 268)};
  steady.samples = {TestSample("P1", "2026-08-11", 0.62), TestSample("P1", "2026-08-25", 0.55)};
  PointRecords stuck = NightlyDevice("P2", 90, 10);
  stuck.reads = {TestRead("P2", "2026-07-29", 0), TestRead("P2", "2026-08-14", 500.37),
                 TestRead("P2", "2026-09-02", 545.9)};
  stuck.samples = {TestSample("P2", "2026-08-11", 0.1), TestSample("P2", "2026-08-26", 0.1, true),
                   TestSample("P2", "2026-09-04", 0.5)};
  stuck.visits.push_back({{}, PointCode("P2"), At("2026-08-14", 10), "KB", "read", "", false, false});
  PointRecords fed = NightlyDevice("P3", 120, 7);
  fed.point.meter = "none";
  fed.point.dechlorination = "sodium sulfite tablets";
  fed.point.dechlorination_holds_kg = 2;
  fed.visits.push_back({{}, PointCode("P3"), At("2026-08-20", 10), "KB", "refill", "", false, true});
  fed.samples = {TestSample("P3", "2026-08-11", 1.2)};
  PointRecords hand = TestPoint();
  hand.point.code = PointCode("P4");
  hand.point.kind = PointKind::kHand;
  hand.point.meter.clear();
  hand.point.supply_zone = "South";
  hand.flush_runs.push_back({{},
                             PointCode("P4"),
                             At("2026-08-18", 9, 30),
                             Duration::Minutes(25),
                             Volume::CubicMetres(31.3),
                             MeasuredBy::kPitot,
                             "KB",
                             "monthly",
                             ""});
  facts.points = {steady, stuck, fed, hand};
  facts.zones.resize(2);
  facts.zones[0].name = "North";
  facts.zones[1].name = "South";
  facts.limits = {
      {{}, LimitScope::kSystem, "", LeastResidual{Concentration::MilligramsPerLitre(0.2)}, "rule"}};
  facts.supplied = {{2026, 8, Volume::CubicMetres(60000)}};
  facts.prices.currency = "USD";
  facts.prices.water_per_m3 = Sourced<double>{0.437, {}};
  facts.prices.visit = Sourced<double>{55, {}};
  facts.population = 2600;
  for (const auto& [day, ug_per_l] : {std::pair("2025-11-12", 70.0), std::pair("2026-02-10", 85.0),
                                      std::pair("2026-05-12", 90.0), std::pair("2026-08-11", 65.0)}) {
    facts.byproducts.push_back({{},
                                "12 Alder Way",
                                Day(day),
                                Byproduct::kTotalTrihalomethanes,
                                Concentration::MicrogramsPerLitre(ug_per_l),
                                false,
                                ""});
  }
  return facts;
}

}  // namespace lastreach
