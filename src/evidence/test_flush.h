#pragma once

#include <optional>
#include <string>
#include <vector>

#include "evidence/flow_measure.h"
#include "evidence/flush_curve.h"
#include "ledger/flush_runs.h"

namespace lastreach {

// What is known beside the readings. Everything may be missing; what cannot be said without it is not said.
struct TestFlushFacts {
  TestFlush flush;
  std::optional<MeasuredFlow> flow;            // of the point while open, where the readings do not tell it
  std::optional<MeasuredFlow> last_tested;     // an earlier flow test: less now means something was shut
  std::optional<double> upstream_mg_per_l;     // in the main, where the flush itself has no reading of it
  std::optional<double> device_flow_m3_per_s;  // at which the timer's runs flow, if not as in the flush
  std::optional<double> volume_m3;             // of the reach, from its lengths and diameters
  double volume_log_sd = 0.15;
  // How far a front spreads on its way along the reach, one standard deviation over its volume [-].
  double front_share = 0.03;
  std::vector<double> pipe_lengths_m, pipe_volumes_m3;  // from the well-fed main to the end
  // A sample at the same outlet after it was closed, nothing having run in between.
  struct ReSample {
    double after_closed_s = 0;
    double mg_per_l = 0;
  };
  std::optional<ReSample> resample;
  std::optional<double> least_pressure_pa;  // the user's limit
};

struct TestFlushOptions {
  double kit_mg_per_l = 0.1;  // two readings so far apart are the same (common practice, no source)
  std::size_t flat_readings = 3;
  double clear_ntu = 1;  // common practice, no source
};

// What to do after the last reading so far.
enum class FlushAdvice {
  kGoOn,
  kFlat,            // at what the main carries: you can stop
  kFlatButWeak,     // below what the main carries: more water changes nothing, look for why
  kNothingArrives,  // three volumes and no fresh water: stop, look for why
  kPressureTooLow,  // stop
};

// The residual that arrives against that of the main.
enum class PlateauVerdict { kNotFlat, kMainNotKnown, kAsTheMain, kBelowTheMain, kAboveTheMain };

// The volume after which fresh water came against that of the map.
enum class VolumeVerdict {
  kNotKnown,  // no flow, no volume by the map, or no front seen
  kMapRight,
  kLessThanMap,  // shorter or narrower, or fed from nearer: a loop open
  kMoreThanMap,  // longer, wider or fed another way: a valve closed, a loop open, a leak
  kNeverCame,
};

// A piece of what stood in the pipe before the valve was opened: what came out after v had stood v before it.
struct StoodThere {
  double volume_m3 = 0;              // from the outlet
  std::optional<double> distance_m;  // the same along the reach; none past its head
  double mg_per_l = 0;
  bool below_detection = false;
};

// The loss itself, from a sample after hours closed: k = ln(C_closed / C_later) / t, whatever the pipe.
struct LocalLoss {
  double per_day = 0;
  double sd_per_day = 0;  // of the two readings
};

struct TestFlushReading {
  std::vector<CurvePoint> curve;
  std::optional<Plateau> plateau;
  std::optional<double> flat_after_s, flat_after_m3;  // the first reading of the plateau
  // When the residual was half way from what stood at the end to what arrives.
  std::optional<double> breakthrough_s, breakthrough_m3;
  std::optional<double> came_least_m3, came_most_m3;  // between these the water of the main arrived
  double flow_m3_per_s = 0;                           // mean of the flush; 0 where not known
  FlushAdvice advice = FlushAdvice::kGoOn;
  std::string advice_words;
  PlateauVerdict arrives = PlateauVerdict::kNotFlat;
  VolumeVerdict volume = VolumeVerdict::kNotKnown;
  std::optional<double> share_of_map;  // middle of the two over the volume of the map
  std::vector<StoodThere> profile;     // from the outlet up, until fresh water came
  std::optional<LocalLoss> loss;
  std::optional<int> minutes;        // to key in, so that a run brings what the main carries to the outlet
  std::vector<std::string> reasons;  // one sentence each, for people
};

// Reads a test flush as it stands, with as many readings as there are so far: live advice is that of the
// last.
//
// Flat: FindPlateau, and not just stale water that has not been pushed out yet: the residual is within the
// kit's error of the main's; or more than the reach surely holds has run; or, where that is not known, it has
// risen by more than the kit's error.
// Volume: the last reading that was more than the kit's error short of the plateau bounds it from below, less
// 1.64 spreads of the front; the first flat one from above, or, where the residual did not step up but went
// on rising, where that rise would have reached the plateau. The map is right where these meet its volume
// within two standard deviations. Minutes: time to the upper of these, a tenth more (a fifth less pressure is
// a tenth less flow), half a minute for the valve, up to a whole minute.
TestFlushReading ReadTestFlush(const TestFlushFacts& facts, const TestFlushOptions& options = {});

std::string_view ToText(FlushAdvice advice);  // "go on", "flat", "flat but weak", ...
std::string_view ToText(PlateauVerdict verdict);
std::string_view ToText(VolumeVerdict verdict);

}  // namespace lastreach
