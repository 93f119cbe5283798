#include "month/make_month.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "month/dechlorination_use.h"
#include "month/exceptions.h"
#include "month/samples_needed.h"

namespace lastreach {
namespace {

using std::chrono::days;
using std::chrono::months;

class Maker {
 public:
  explicit Maker(const MonthFacts& facts)
      : facts_(facts),
        begin_(BeginOf(facts.zone, facts.month)),
        month_end_(BeginOf(facts.zone, facts.month + months(1))),
        end_(std::min(month_end_, facts.now)),
        first_(facts.month / 1) {
    report_.month = facts.month;
    report_.zone = facts.zone;
    report_.is_over = facts.now >= month_end_;
    report_.through = Date{std::chrono::floor<days>(facts.zone.ToLocal(end_ - std::chrono::seconds(1)))};
  }

  MonthReport Make() {
    for (const PointRecords& records : facts_.points) AddPoint(records);
    AddSummaries();
    AddByproducts();
    std::stable_sort(report_.exceptions.begin(), report_.exceptions.end(),
                     [](const MonthException& a, const MonthException& b) {
                       return std::pair(a.closed_on.has_value(), a.kind) <
                              std::pair(b.closed_on.has_value(), b.kind);
                     });
    for (const SuppliedMonth& supplied : facts_.supplied) {
      if (std::chrono::year(supplied.year) / supplied.month == facts_.month) {
        report_.supplied_m3 = supplied.supplied.cubic_metres();
      }
    }
    AddPrices();
    AddNotes();
    return std::move(report_);
  }

 private:
  const SupplyZone* ZoneOf(const FlushPoint& point) const {
    for (const SupplyZone& zone : facts_.zones) {
      if (zone.name == point.supply_zone) return &zone;
    }
    return nullptr;
  }

  void AddPoint(const PointRecords& records) {
    MonthPoint point{records.point, WaterOfPoint(records, begin_, end_), 0};
    point.visits =
        static_cast<int>(std::count_if(records.visits.begin(), records.visits.end(), [&](const Visit& visit) {
          return visit.arrived >= begin_ && visit.arrived < end_;
        }));
    report_.visits += point.visits;
    const SupplyZone* zone = ZoneOf(records.point);
    HeldAgainst against{Disinfectant::kFreeChlorine, LeastResidualOf(records.point, facts_.limits, zone)};
    if (zone != nullptr) against.disinfectant = zone->disinfectant;
    const auto readings = ReadingsOf(records.samples, records.point.supply_zone, against);
    std::vector<ResidualReading> of_month;
    for (const ResidualReading& reading : readings) {
      if (IsInMonth(reading.day, facts_.month) && reading.day <= report_.through) of_month.push_back(reading);
    }
    const auto exceptions =
        ExceptionsOf(records, readings, point.water, first_, report_.through, begin_, end_);
    report_.exceptions.insert(report_.exceptions.end(), exceptions.begin(), exceptions.end());
    if (auto use = DechlorinationOf(facts_, records, of_month, point.water.total_m3(), begin_, end_)) {
      report_.dechlorination.push_back(*std::move(use));
    }
    report_.points.push_back(std::move(point));
    report_.readings.insert(report_.readings.end(), of_month.begin(), of_month.end());
    all_readings_.insert(all_readings_.end(), readings.begin(), readings.end());
  }

  void AddSummaries() {
    std::set<std::string> zones;
    for (const ResidualReading& reading : all_readings_) zones.insert(reading.zone);
    report_.residuals.push_back(SummariseReadings(all_readings_, "", facts_.month));
    zones.erase("");
    if (zones.size() > 1) {
      for (const std::string& zone : zones) {
        report_.residuals.push_back(SummariseReadings(all_readings_, zone, facts_.month));
      }
    }
    if (facts_.population) report_.samples_needed = SamplesNeeded(*facts_.population);
  }

  void AddByproducts() {
    std::map<std::pair<std::string, Byproduct>, std::vector<DatedValue>> sites;
    for (const ByproductResult& result : facts_.byproducts) {
      if (result.day > report_.through) continue;
      const double mg_per_l = result.below_detection ? 0 : result.value.milligrams_per_litre();
      sites[{result.site, result.byproduct}].push_back({result.day, mg_per_l});
    }
    for (const auto& [site, values] : sites) {
      SiteAverage average{site.first, site.second,
                          FourQuarters(values, facts_.month, MostAverage_mg_per_l(site.second))};
      if (average.average.mean) report_.byproducts.push_back(std::move(average));
    }
  }

  void AddPrices() {
    report_.currency = facts_.prices.currency;
    if (facts_.prices.water_per_m3) report_.price_per_m3 = facts_.prices.water_per_m3->value;
    if (facts_.prices.visit) report_.price_per_visit = facts_.prices.visit->value;
  }

  void AddNotes() {
    if (!report_.is_over) {
      report_.notes.push_back("The month is not over: counted through " + FormatDate(report_.through) + ".");
    }
    const bool any_limit = std::any_of(facts_.limits.begin(), facts_.limits.end(), [](const Limit& limit) {
      return std::holds_alternative<LeastResidual>(limit.rule);
    });
    if (!any_limit && !report_.readings.empty()) {
      report_.notes.emplace_back(
          "No least residual has been entered as a limit: readings are held against each zone's target.");
    }
    for (const MonthPoint& point : report_.points) {
      if (point.water.flow_missing) {
        report_.notes.push_back(
            point.point.code.text() +
            " ran, and nobody knows its flow: the water of the time without reads is not counted.");
      } else if (point.water.unknown_s > 0) {
        report_.notes.push_back(
            point.point.code.text() +
            ": nobody wrote down its settings for some of the time without reads, which is not counted.");
      }
    }
  }

  const MonthFacts& facts_;
  Instant begin_, month_end_, end_;
  Date first_;
  MonthReport report_;
  std::vector<ResidualReading> all_readings_;
};

}  // namespace

Instant BeginOf(const Zone& zone, std::chrono::year_month month) {
  return zone.FirstInstant(Midnight(month / 1));
}

MonthReport MakeMonth(const MonthFacts& facts) { return Maker(facts).Make(); }

}  // namespace lastreach
