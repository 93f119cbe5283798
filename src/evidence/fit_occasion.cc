#include "evidence/fit_occasion.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/reach_model.h"
#include "year/hand_flush.h"
#include "year/season_water.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

constexpr double kOneInTwenty = 1.645;
constexpr double kWidestFront = 0.5;
constexpr double kSampling_s = 15;         // a bottle takes half a minute to fill
constexpr double kUnknownHourShare = 0.1;  // of a reading, for not knowing when in the day it was taken
constexpr int kHoursOfWork[] = {8, 10, 12, 14, 16};
constexpr double kNextToNothing_mg_per_l = 0.03;

bool IsOfZone(Analyte analyte, Disinfectant disinfectant) {
  if (disinfectant == Disinfectant::kFreeChlorine) return analyte == Analyte::kFreeChlorine;
  return analyte == Analyte::kTotalChlorine || analyte == Analyte::kMonochloramine;
}

Date LocalDay(const Zone& zone, Instant when) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(when))};
}

MinuteInstant MidnightOf(const Zone& zone, Date day) {
  return std::chrono::floor<minutes>(zone.FirstInstant(Midnight(day)));
}

std::chrono::seconds Whole(Duration duration) {
  return std::chrono::seconds(std::llround(duration.seconds()));
}

// A day's readings, before anything is known of the water that moved.
struct Day {
  std::vector<OccasionReading> readings;  // queries hold seconds since the epoch
  std::optional<double> temperature_c;
};

double SinceEpoch(Instant when) { return static_cast<double>(when.time_since_epoch().count()); }

class Sorter {
 public:
  Sorter(const FitFacts& facts, std::size_t point, const FitOptions& options,
         std::vector<std::string>& left_out, std::vector<std::string>& assumed)
      : facts_(facts),
        index_(point),
        point_(facts.points[point]),
        options_(options),
        left_out_(left_out),
        assumed_(assumed) {}

  std::vector<FitOccasion> Sort() {
    for (const Sample& sample : point_.samples) Add(sample);
    for (const TestFlush& flush : point_.test_flushes) Add(flush);
    std::vector<FitOccasion> occasions;
    for (auto& [number, day] : days_) {
      const auto numbers = NumbersOn(point_, facts_, options_, DateOfDayNumber(number), day.temperature_c);
      if (!numbers.ok()) {
        LeaveOut(numbers.error().message);
        break;
      }
      if (!day.temperature_c) without_temperature_ = true;
      occasions.push_back(Make(DateOfDayNumber(number), day, *numbers));
    }
    if (!occasions.empty() && without_temperature_) {
      assumed_.push_back(Code() +
                         ": where no temperature was read, that of the month, else of the worst week");
    }
    return occasions;
  }

 private:
  const std::string& Code() const { return point_.facts.point.code.text(); }
  void LeaveOut(const std::string& why) {
    const std::string line = Code() + ": " + why;
    if (std::find(left_out_.begin(), left_out_.end(), line) == left_out_.end()) left_out_.push_back(line);
  }

  bool IsWanted(Analyte analyte, Date day) {
    if (!IsResidual(analyte)) return false;
    if (!IsOfZone(analyte, point_.facts.supply.disinfectant)) {
      LeaveOut("readings of " + std::string(ToText(analyte)) + " are not what the zone is held by");
      return false;
    }
    if (day > options_.today) {
      LeaveOut("readings in the future");
      return false;
    }
    return true;
  }

  void Add(const Sample& sample) {
    if (!IsWanted(sample.analyte, sample.day)) return;
    Day& day = days_[DayNumber(sample.day)];
    OccasionReading reading;
    reading.mg_per_l = sample.residual.milligrams_per_litre();
    reading.below_detection = sample.below_detection;
    const auto at = [&](int minute) {
      return options_.zone.FirstInstant(Midnight(sample.day) + minutes(minute));
    };
    if (sample.minute_of_day) {
      reading.when = at(*sample.minute_of_day);
      reading.queries.push_back({.time_s = SinceEpoch(reading.when)});
    } else {
      reading.when = at(12 * 60);
      for (const int hour : kHoursOfWork) reading.queries.push_back({.time_s = SinceEpoch(at(hour * 60))});
    }
    if (sample.temperature) day.temperature_c = sample.temperature->celsius();
    day.readings.push_back(reading);
  }

  void Add(const TestFlush& flush) {
    const Date date = LocalDay(options_.zone, flush.begun);
    if (!IsWanted(flush.analyte, date)) return;
    Day& day = days_[DayNumber(date)];
    const Instant opened(std::chrono::floor<minutes>(flush.begun));
    for (const FlushReading& read : flush.readings) {
      // The last temperature is that of the water furthest up.
      if (read.temperature) day.temperature_c = read.temperature->celsius();
      if (!read.residual) continue;
      OccasionReading reading;
      reading.when = opened + Whole(read.after);
      reading.queries.push_back({.time_s = SinceEpoch(reading.when)});
      reading.mg_per_l = read.residual->milligrams_per_litre();
      reading.below_detection = read.below_detection;
      day.readings.push_back(reading);
    }
    if (!flush.upstream) return;
    OccasionReading main;
    main.when = opened;
    main.in_main = true;
    main.mg_per_l = flush.upstream->milligrams_per_litre();
    day.readings.push_back(main);
  }

  FitOccasion Make(Date date, const Day& day, const PlanningNumbers& numbers) {
    FitOccasion occasion;
    occasion.point = index_;
    occasion.numbers = numbers;
    occasion.readings = day.readings;
    std::sort(occasion.readings.begin(), occasion.readings.end(),
              [](const OccasionReading& a, const OccasionReading& b) { return a.when < b.when; });
    const MinuteInstant midnight = MidnightOf(options_.zone, date);
    occasion.end = MidnightOf(options_.zone, AddDays(date, 1));
    const auto last = std::chrono::ceil<minutes>(occasion.readings.back().when) + minutes(1);
    occasion.end = std::max(occasion.end, last);
    for (int warm_up_days = 4; warm_up_days <= 32; warm_up_days *= 2) {
      occasion.begin = midnight - std::chrono::days(warm_up_days);
      RunsOf(point_, options_, occasion.begin, occasion.end, occasion);
      if (IsCovered(occasion, day, warm_up_days)) break;
    }
    Place(occasion, day);
    return occasion;
  }

  // Whether all water read entered after the begin, in a reach a third larger with a third less use.
  bool IsCovered(const FitOccasion& occasion, const Day& day, int warm_up_days) const {
    PlanningNumbers harder = occasion.numbers;
    if (harder.upstream_mg_per_l * std::exp(-harder.bulk_per_s * warm_up_days * kSecondsPerDay) <
        kNextToNothing_mg_per_l)
      return true;
    for (PipeNumbers& pipe : harder.pipes) {
      pipe.length_m *= 1.3;
      pipe.demand_m3_per_s *= 0.7;
    }
    const ReachModel model = ModelReach(harder, {}, options_.most_taps);
    const ShareCurve curve(model.branch, DriveOfOccasion(occasion, model, options_.zone, 1, 1),
                           model.kinetics);
    const double begin_s = SinceEpoch(Instant(occasion.begin));
    return std::none_of(day.readings.begin(), day.readings.end(), [&](const OccasionReading& reading) {
      return std::any_of(reading.queries.begin(), reading.queries.end(),
                         [&](const ShareQuery& query) { return curve.IsInitialAt(query.time_s - begin_s); });
    });
  }

  // Times from the begin, with what the water was doing then, and how far each reading may be off.
  void Place(FitOccasion& occasion, const Day& day) const {
    occasion.own_main = day.readings.size() >= 2;
    const double begin_s = SinceEpoch(Instant(occasion.begin));
    for (OccasionReading& reading : occasion.readings) {
      double share =
          occasion.own_main ? options_.model_share : std::hypot(options_.model_share, options_.main_swing);
      if (reading.queries.size() > 1) share = std::hypot(share, kUnknownHourShare);
      if (reading.in_main) share = 0;
      // More than the main has is a mistake, and must not make room for itself.
      const double told = std::min(reading.mg_per_l, occasion.numbers.upstream_mg_per_l);
      reading.sd_mg_per_l = std::hypot(options_.kit_mg_per_l / 2, share * told);
      for (ShareQuery& query : reading.queries) {
        query.time_s -= begin_s;
        PlaceAmongRuns(occasion, reading, query);
      }
    }
  }

  void PlaceAmongRuns(const FitOccasion& occasion, OccasionReading& reading, ShareQuery& query) const {
    const auto since_begin = [&](MinuteInstant t) {
      return static_cast<double>((t - occasion.begin).count()) * kSecondsPerMinute;
    };
    for (const Run& run : occasion.runs) {
      const double from = since_begin(run.start);
      const double to = since_begin(run.end());
      if (from > query.time_s) break;
      reading.hours_since_run = std::max(0.0, query.time_s - to) / kSecondsPerHour;
      if (query.time_s > to) continue;
      double flow = occasion.numbers.flow_m3_per_s;
      for (const OwnRun& own : occasion.own) {
        if (own.flow_m3_per_s > 0 && since_begin(own.start) <= query.time_s &&
            query.time_s <= since_begin(own.end))
          flow = own.flow_m3_per_s;
      }
      const double front = std::min(kWidestFront, FrontAllowance(occasion.numbers, flow) / kOneInTwenty);
      query.spread_s = std::max(kSampling_s, front * occasion.numbers.volume_m3() / flow);
      query.from_s = from;
      query.to_s = to;
    }
  }

  const FitFacts& facts_;
  std::size_t index_;
  const FitPoint& point_;
  const FitOptions& options_;
  std::vector<std::string>& left_out_;
  std::vector<std::string>& assumed_;
  std::map<int, Day> days_;
  bool without_temperature_ = false;
};

}  // namespace

Result<PlanningNumbers> NumbersOn(const FitPoint& point, const FitFacts& facts, const FitOptions& options,
                                  Date day, std::optional<double> temperature_c) {
  DeviceFacts device = point.facts;
  // What GatherNumbers asks for and a point without a device has no use of.
  if (!device.point.flow) device.point.flow = Sourced<Flow>{Flow::LitresPerSecond(1), {}};
  device.root_mg_per_l_by_hour.reset();
  PlanOptions plan;
  plan.zone = options.zone;
  plan.from = day;
  plan.to = AddDays(day, 1);
  if (!device.supply.target_residual) plan.target_mg_per_l = 0.2;
  const YearPart month{"", {day, AddDays(day, 1)}, {static_cast<int>(static_cast<unsigned>(day.month()))}};
  FactsOfPart in_month = FactsIn(month, device, plan, facts.water);
  if (temperature_c) in_month.options.temperature_c = temperature_c;
  return GatherNumbers(in_month.facts, in_month.options);
}

std::vector<FitOccasion> OccasionsOf(const FitFacts& facts, std::size_t point, const FitOptions& options,
                                     std::vector<std::string>& left_out, std::vector<std::string>& assumed) {
  return Sorter(facts, point, options, left_out, assumed).Sort();
}

}  // namespace lastreach
