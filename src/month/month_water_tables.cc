#include "month/month_water_tables.h"

#include <cmath>

#include "month/add_up.h"

namespace lastreach {
namespace {

constexpr int kMoneyDecimals = 2;

int DecimalsOf(VolumeUnit unit) { return unit == VolumeUnit::kGallons ? 0 : 1; }
double UnitsPerCubicMetre(VolumeUnit unit) {
  return unit == VolumeUnit::kGallons ? 1 / kCubicMetresPerGallon : 10;
}

// Whole units of every point's two volumes, and of each line of its flush log.
struct RoundedPoint {
  int64_t metered = 0;
  int64_t estimated = 0;
  std::vector<int64_t> flushes;
};

void ShareAmongFlushes(const PointWater& water, bool metered, int64_t units, std::vector<int64_t>& flushes) {
  std::vector<double> parts;
  std::vector<size_t> lines;
  for (size_t i = 0; i < water.flushes.size(); ++i) {
    if (water.flushes[i].metered != metered) continue;
    lines.push_back(i);
    parts.push_back(water.flushes[i].volume_m3);
  }
  const std::vector<int64_t> shares = ShareUnits(units, parts);
  for (size_t k = 0; k < lines.size(); ++k) flushes[lines[k]] = shares[k];
}

std::vector<RoundedPoint> RoundPoints(const MonthReport& report, VolumeUnit unit) {
  std::vector<double> volumes;
  for (const MonthPoint& point : report.points) {
    volumes.push_back(point.water.metered_m3 * UnitsPerCubicMetre(unit));
    volumes.push_back(point.water.estimated_m3 * UnitsPerCubicMetre(unit));
  }
  const std::vector<int64_t> units = RoundToAddUp(volumes);
  std::vector<RoundedPoint> rounded(report.points.size());
  for (size_t i = 0; i < rounded.size(); ++i) {
    const PointWater& water = report.points[i].water;
    rounded[i] = {units[2 * i], units[2 * i + 1], std::vector<int64_t>(water.flushes.size(), 0)};
    ShareAmongFlushes(water, true, rounded[i].metered, rounded[i].flushes);
    ShareAmongFlushes(water, false, rounded[i].estimated, rounded[i].flushes);
  }
  return rounded;
}

class TableMaker {
 public:
  TableMaker(const MonthReport& report, VolumeUnit unit)
      : report_(report), unit_(unit), rounded_(RoundPoints(report, unit)) {
    for (const RoundedPoint& point : rounded_) {
      metered_ += point.metered;
      estimated_ += point.estimated;
    }
  }

  MonthTable FlushLog() const {
    MonthTable table{"flush_log",
                     "Flush log",
                     {{"point", "Point"},
                      {"place", "Place"},
                      {"date", "Date"},
                      {"start", "Start"},
                      {"minutes", "Minutes", true},
                      {VolumeKey("volume"), VolumeHeading("Volume"), true},
                      {"how_known", "How known"},
                      {"who", "By"},
                      {"why", "Why"}},
                     {},
                     {}};
    for (size_t i = 0; i < rounded_.size(); ++i) {
      const MonthPoint& point = report_.points[i];
      for (size_t k = 0; k < point.water.flushes.size(); ++k) {
        table.rows.push_back(FlushRow(point, point.water.flushes[k], rounded_[i].flushes[k]));
      }
    }
    table.total = {std::string("Total"), {}, {}, {}, {}, Volume(metered_ + estimated_), {}, {}, {}};
    return table;
  }

  MonthTable Water() const {
    MonthTable table{"water",
                     "Water by point",
                     {{"point", "Point"},
                      {"place", "Place"},
                      {"zone", "Zone"},
                      {"runs", "Runs", true},
                      {"open_h", "Hours open", true},
                      {VolumeKey("metered"), VolumeHeading("Metered"), true},
                      {VolumeKey("estimated"), VolumeHeading("Estimated"), true},
                      {VolumeKey("total"), VolumeHeading("Total"), true},
                      {VolumeKey("standard_deviation"), VolumeHeading("Give or take"), true},
                      {"method", "Method"}},
                     {},
                     {}};
    int64_t runs = 0, open_tenths = 0;
    for (size_t i = 0; i < rounded_.size(); ++i) {
      const MonthPoint& point = report_.points[i];
      const MonthNumber point_runs = RoundedTo(point.water.runs, 0);
      const MonthNumber open_h = RoundedTo(point.water.open_s / kSecondsPerHour, 1);
      runs += point_runs.units;
      open_tenths += open_h.units;
      table.rows.push_back({point.point.code.text(), point.point.place, point.point.supply_zone, point_runs,
                            open_h, Volume(rounded_[i].metered), Volume(rounded_[i].estimated),
                            Volume(rounded_[i].metered + rounded_[i].estimated),
                            RoundedVolume(point.water.sd_m3(), unit_), MethodOf(point)});
    }
    table.total = {std::string("Total"),
                   {},
                   {},
                   MonthNumber{runs, 0},
                   MonthNumber{open_tenths, 1},
                   Volume(metered_),
                   Volume(estimated_),
                   Volume(metered_ + estimated_),
                   RoundedVolume(report_.sd_m3(), unit_),
                   {}};
    return table;
  }

  // Unbilled authorised consumption, in its two kinds.
  MonthTable Balance() const {
    MonthTable table{"balance",
                     "Unbilled authorised consumption",
                     {{"item", "Item"},
                      {VolumeKey("volume"), VolumeHeading("Volume"), true},
                      {VolumeKey("standard_deviation"), VolumeHeading("Give or take"), true},
                      {"percent_of_supplied", "Percent of water supplied", true}},
                     {},
                     {}};
    double metered_variance = 0, estimated_variance = 0;
    for (const MonthPoint& point : report_.points) {
      metered_variance += std::pow(point.water.metered_sd_m3, 2);
      estimated_variance += std::pow(point.water.estimated_sd_m3, 2);
    }
    const auto row = [&](const char* item, int64_t units, double sd_m3) {
      return std::vector<MonthCell>{std::string(item), Volume(units), RoundedVolume(sd_m3, unit_),
                                    PercentOfSupplied(units)};
    };
    table.rows = {row("unbilled metered: flushing", metered_, std::sqrt(metered_variance)),
                  row("unbilled unmetered: flushing", estimated_, std::sqrt(estimated_variance))};
    table.total = row("flushing in all", metered_ + estimated_, report_.sd_m3());
    return table;
  }

  MonthTable Cost() const {
    const std::string money = report_.currency.empty() ? "money" : report_.currency;
    MonthTable table{"cost",
                     "Cost",
                     {{"item", "Item"},
                      {"quantity", "Quantity", true},
                      {"unit", "Unit"},
                      {"amount", "Amount (" + money + ")", true}},
                     {},
                     {}};
    std::vector<double> cents;
    if (report_.price_per_m3) {
      table.rows.push_back({std::string("water flushed"), Volume(metered_ + estimated_), UnitKey(unit_), {}});
      cents.push_back(100 * *report_.price_per_m3 * (report_.metered_m3() + report_.estimated_m3()));
    }
    if (report_.price_per_visit) {
      table.rows.push_back(
          {std::string("visits"), MonthNumber{report_.visits, 0}, std::string("visits"), {}});
      cents.push_back(100 * *report_.price_per_visit * report_.visits);
    }
    if (cents.empty()) return table;
    const std::vector<int64_t> rounded = RoundToAddUp(cents);
    int64_t total = 0;
    for (size_t i = 0; i < rounded.size(); ++i) {
      table.rows[i].back() = MonthNumber{rounded[i], kMoneyDecimals};
      total += rounded[i];
    }
    table.total = {std::string("Total"), {}, {}, MonthNumber{total, kMoneyDecimals}};
    return table;
  }

 private:
  MonthNumber Volume(int64_t units) const { return {units, DecimalsOf(unit_)}; }
  std::string VolumeKey(const char* what) const { return std::string(what) + "_" + UnitKey(unit_); }
  std::string VolumeHeading(const char* what) const {
    return std::string(what) + " (" + UnitText(unit_) + ")";
  }

  MonthCell PercentOfSupplied(int64_t units) const {
    if (!report_.supplied_m3 || *report_.supplied_m3 <= 0) return {};
    const double volume_m3 = static_cast<double>(units) / UnitsPerCubicMetre(unit_);
    return RoundedTo(100 * volume_m3 / *report_.supplied_m3, 2);
  }

  std::vector<MonthCell> FlushRow(const MonthPoint& point, const MonthFlush& flush, int64_t units) const {
    const auto begin = report_.zone.ToLocal(flush.begin);
    const auto day = std::chrono::floor<std::chrono::days>(begin);
    const auto minute = std::chrono::floor<std::chrono::minutes>(begin - day).count();
    const double minutes = static_cast<double>((flush.end - flush.begin).count()) / kSecondsPerMinute;
    MonthCell start = FormatTimeOfDay(static_cast<int>(minute));
    MonthCell lasted = RoundedTo(minutes, 0);
    if (flush.unexplained) start = lasted = {};
    return {point.point.code.text(),
            point.point.place,
            FormatDate(Date{day}),
            start,
            lasted,
            Volume(units),
            HowKnown(flush),
            flush.logged != nullptr ? flush.logged->who : std::string(),
            flush.logged != nullptr ? flush.logged->why : std::string()};
  }

  static std::string HowKnown(const MonthFlush& flush) {
    if (flush.unexplained) return "meter; no run known of explains it";
    std::string how = flush.metered ? "meter" : "settings x flow";
    if (flush.logged != nullptr && !flush.metered) {
      how = flush.logged->volume ? "log, " + std::string(ToText(flush.logged->by)) : "log, minutes x flow";
    }
    if (flush.odds < 1) how += "; perhaps not run";
    return how;
  }

  static std::string MethodOf(const MonthPoint& point) {
    const PointWater& water = point.water;
    const bool device = point.point.kind == PointKind::kDevice;
    const std::string estimate = device ? "settings x flow" : "flush log";
    std::string method = water.metered_m3 > 0 && water.estimated_m3 > 0 ? "meter, rest by " + estimate
                         : water.metered_s > 0 || water.metered_m3 > 0  ? "meter"
                                                                        : estimate;
    if (water.flow_missing || water.unknown_s > 0) method += "; not all known";
    return method;
  }

  const MonthReport& report_;
  VolumeUnit unit_;
  std::vector<RoundedPoint> rounded_;
  int64_t metered_ = 0;
  int64_t estimated_ = 0;
};

}  // namespace

MonthNumber RoundedVolume(double volume_m3, VolumeUnit unit) {
  return {std::llround(volume_m3 * UnitsPerCubicMetre(unit)), DecimalsOf(unit)};
}

WaterTables MakeWaterTables(const MonthReport& report, VolumeUnit unit) {
  const TableMaker maker(report, unit);
  return {maker.FlushLog(), maker.Water(), maker.Balance(), maker.Cost()};
}

}  // namespace lastreach
