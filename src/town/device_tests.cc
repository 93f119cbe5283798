#include <algorithm>
#include <cmath>

#include "town/device_year.h"

namespace lastreach {
namespace {

constexpr double kDrumScatter = 0.05;
constexpr double kKitScatter_mg_per_l = 0.03;
constexpr double kFrontSpread = 0.04;  // of what the main holds, either side of its middle
constexpr int kReadingsAFlush = 18;

double Rounded(double value, double step) { return std::round(value / step) * step; }

// A test by drum on the day of the spring start-up.
FlowTest SpringTest(const DeviceYear& year, Seeded& seeded, const Zone& zone) {
  FlowTest test;
  const BoxVisit& spring = year.happened.visits[1];
  const LocalTime local = zone.ToLocal(spring.at);
  const auto midnight = std::chrono::floor<std::chrono::days>(local);
  test.point = year.point.code;
  test.day = Date{midnight};
  test.minute_of_day = static_cast<int>(std::chrono::floor<std::chrono::minutes>(local - midnight).count());
  const double flow_m3_per_s = OpenFlow_m3_per_s(year.basis, year.happened, test.day);
  test.flow = Flow::GallonsPerMinute(Rounded(
      Flow::CubicMetresPerSecond(flow_m3_per_s).gallons_per_minute() * (1 + kDrumScatter * seeded.Bell()),
      0.1));
  test.by = MeasuredBy::kDrum;
  test.who = spring.who;
  return test;
}

// What leaves the outlet when `out_m3` has run: a little of what stood before and behind comes with it.
double Leaving_mg_per_l(const DeviceYear& year, const TrueReach& reach, Instant begun, double out_m3,
                        double arrives_mg_per_l, const Zone& zone) {
  double sum = 0;
  constexpr int kPieces = 5;
  for (int i = 0; i < kPieces; ++i) {
    const double at_m3 = out_m3 + reach.volume_m3 * kFrontSpread * (i - 2);
    sum += at_m3 >= reach.volume_m3 ? arrives_mg_per_l
                                    : TrueResidual_mg_per_l(year, begun, zone, std::max(0.0, at_m3));
  }
  return sum / kPieces;
}

TestFlush Flushed(const DeviceYear& year, Seeded& seeded, const Zone& zone) {
  TestFlush flush;
  const Date day = year.happened.test_flush_on;
  const bool chloramine = year.basis.is_chloramine;
  const double flow_m3_per_s = OpenFlow_m3_per_s(year.basis, year.happened, day);
  const TrueReach reach = TrueReachOn(year.basis, year.happened, day);
  const double main_mg_per_l = UpstreamResidual_mg_per_l(chloramine, day);
  flush.point = year.point.code;
  flush.begun = TestFlushBegins(year.happened, zone);
  flush.analyte = chloramine ? Analyte::kTotalChlorine : Analyte::kFreeChlorine;
  flush.upstream = Concentration::MilligramsPerLitre(Rounded(main_mg_per_l, 0.01));
  flush.who = "KB";
  const int minutes = TestFlushMinutes(year.basis, year.happened);
  const int every_min = std::max(1, minutes / kReadingsAFlush);
  for (int minute = 1; minute <= minutes; minute += every_min) {
    FlushReading reading;
    reading.after = Duration::Minutes(minute);
    const double residual =
        Leaving_mg_per_l(year, reach, flush.begun, flow_m3_per_s * reading.after.seconds(),
                         main_mg_per_l * UpstreamShare(year.happened, day), zone) +
        kKitScatter_mg_per_l * seeded.Bell();
    reading.residual = Concentration::MilligramsPerLitre(Rounded(std::max(0.0, residual), 0.01));
    reading.flow = Flow::GallonsPerMinute(Rounded(
        Flow::CubicMetresPerSecond(flow_m3_per_s).gallons_per_minute() * (1 + 0.02 * seeded.Bell()), 0.1));
    flush.readings.push_back(reading);
  }
  return flush;
}

}  // namespace

void AddTests(DeviceYear& year, Seeded seeded, const Zone& zone) {
  year.flow_tests.push_back(SpringTest(year, seeded, zone));
  const TestFlush flush = Flushed(year, seeded, zone);
  FlushRun run;
  run.point = year.point.code;
  run.begun = flush.begun;
  run.lasted = Duration::Minutes(TestFlushMinutes(year.basis, year.happened));
  run.who = flush.who;
  run.why = "test flush";
  year.flush_runs.push_back(run);
  year.test_flushes.push_back(flush);
}

}  // namespace lastreach
