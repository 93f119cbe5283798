#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/ids.h"
#include "core/zone.h"
#include "ledger/flush_runs.h"
#include "ledger/month_water.h"
#include "ledger/records.h"
#include "plan/facts.h"

namespace lastreach {

// All that was read and keyed at one point; each list in order of time.
struct FitPoint {
  DeviceFacts facts;
  std::vector<SettingsRecord> settings;  // planned ones are left out of account
  std::vector<Sample> samples;
  std::vector<TestFlush> test_flushes;
  std::vector<FlushRun> flush_runs;
};

// The points of one supply zone: they share their water.
struct FitFacts {
  std::vector<FitPoint> points;
  std::vector<MonthWater> water;
};

struct FitOptions {
  Zone zone = Zone::Utc();
  Date today;                 // what is worth sampling next is asked of the fortnight from here
  double kit_mg_per_l = 0.1;  // the kit's error, two standard deviations
  // What the model leaves out (customers who do not draw by the hour, fronts, walls), as a share of a
  // reading.
  double model_share = 0.05;
  // How much the main comes and goes from day to day; as planning takes it. Readings of one day share it.
  double main_swing = 0.10;
  double nu = 4;      // of Student's t
  int most_taps = 8;  // services told apart along a reach
};

// A number that is fitted. Of the point, or of the whole zone where that is empty.
enum class FittedKind {
  kBulk,         // loss in the bulk at 20 C [1/d]
  kWall,         // loss at the wall [m/d], of all pipes that nobody could tell apart
  kVolume,       // of the reach [m3]
  kDemand,       // of all services of the reach, average [m3/d]
  kFlow,         // of the point while open [m3/s]
  kUpstream,     // residual in the main at its tee, typical [mg/L]
  kFlushFlow,    // of one test flush that told its own flow [m3/s]; to be fitted with, of no use afterwards
  kMainThatDay,  // residual in the main on one day over the typical; likewise
};

struct FittedNumber {
  FittedKind kind = FittedKind::kBulk;
  PointCode point;
  std::string material;  // of a wall
  double before = 0;     // what was known without the readings: the middle,
  double before_log_sd = 0;
  double value = 0;  // and with them
  double log_sd = 0;
};

// A reading that was fitted to.
struct FittedReading {
  PointCode point;
  Instant when{};
  bool in_main = false;                   // of the well-fed main, not of the end
  std::optional<double> hours_since_run;  // since the valve was last shut; 0 while it is open
  double mg_per_l = 0;
  bool below_detection = false;
  double predicted_mg_per_l = 0;
  double weight = 1;  // how far it is believed, see PseudoResidual
};

// What an end holds at the end of its longest gap, in the water of the worst week.
struct FittedEnd {
  PointCode point;
  double lowest_mg_per_l = 0;
  double sd_before_mg_per_l = 0, sd_mg_per_l = 0;  // without the readings and with them, to first order
};

// The one reading that would tell most.
struct WorthSample {
  PointCode point;
  bool in_main = false;
  std::optional<double> hours_since_run;             // where the point runs
  std::optional<int> hour_of_day;                    // where it does not
  PointCode sharpens;                                // the end whose lowest residual it tells most of
  double sd_now_mg_per_l = 0, sd_then_mg_per_l = 0;  // of that
};

struct ZoneFit {
  std::string zone;
  std::vector<FittedNumber> numbers;  // of the zone first
  std::vector<FittedReading> readings;
  std::vector<FittedEnd> ends;
  std::optional<WorthSample> worth;
  std::vector<std::string> cannot_tell;  // one sentence each
  std::vector<std::string> left_out;     // what could not be used, and why
  std::vector<std::string> assumed;
  bool converged = false;
  int evaluations = 0;
  double misfit = 0;  // mean square of the readings' pseudo-residuals; near 1 where model and kit are as said
};

}  // namespace lastreach
