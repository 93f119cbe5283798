#include <algorithm>
#include <cmath>

#include "town/device_year.h"
#include "town/sheet_text.h"

namespace lastreach {
namespace {

constexpr int kNewMeterFitted_min = 11 * 60;

Instant At(const Zone& zone, Date day, int minute) {
  return zone.FirstInstant(Midnight(day) + std::chrono::minutes(minute));
}

// The figures of the dial, cut off below the last.
double Shown(const MeterHabit& meter, Volume dial) {
  const double step = std::pow(10, -meter.decimals);
  return std::floor(dial / meter.one / step + 1e-9) * step;
}

MeterRead Typed(const DeviceYear& year, Date day, std::optional<int> minute, const std::string& figures) {
  const MeterHabit& meter = *year.basis.meter;
  MeterRead read;
  read.point = year.point.code;
  read.day = day;
  read.minute_of_day = minute;
  read.total = meter.one * std::stod(figures);
  read.original = figures + " " + meter.unit;
  read.who = static_cast<unsigned>(day.month()) % 2 == 1 ? "KB" : "RM";
  return read;
}

// Two unlike figures in the middle, the wrong way round.
std::string Swapped(std::string figures, Seeded& seeded) {
  const size_t whole = figures.find('.') == std::string::npos ? figures.size() : figures.find('.');
  if (whole < 4) return figures;
  const auto at = static_cast<size_t>(seeded.Whole(1, static_cast<int>(whole) - 3));
  std::swap(figures[at], figures[at + 1]);
  return figures;
}

}  // namespace

Volume TrueDial(const DeviceYear& year, Instant moment, const Zone& zone) {
  const std::optional<Date>& swap = year.happened.new_meter_on;
  const double through_m3 = year.valve.VolumeBefore_m3(moment);
  if (swap && moment >= At(zone, *swap, kNewMeterFitted_min)) {
    const double by_swap_m3 = year.valve.VolumeBefore_m3(At(zone, *swap, kNewMeterFitted_min));
    return Volume::CubicMetres((through_m3 - by_swap_m3) * year.happened.read_factor);
  }
  return year.basis.meter->at_new_year + Volume::CubicMetres(through_m3);
}

void AddReads(DeviceYear& year, const TownRounds& rounds, const ReadSlips& slips, Seeded seeded,
              const Zone& zone) {
  if (!year.basis.meter) return;
  const MeterHabit& meter = *year.basis.meter;
  std::vector<Date> days = rounds.reads;
  if (year.basis.start_min % 60 == 0) {
    days.insert(days.end(), rounds.summer_reads.begin(), rounds.summer_reads.end());
  }
  if (year.happened.new_meter_on) days.push_back(*year.happened.new_meter_on);
  std::sort(days.begin(), days.end());
  days.erase(std::unique(days.begin(), days.end()), days.end());
  for (const Date day : days) {
    const bool is_swap = day == year.happened.new_meter_on;
    const int minute = is_swap ? kNewMeterFitted_min - 1 : 8 * 60 + seeded.Whole(0, 420);
    const bool wrote_time = is_swap || seeded.Unit() < 0.6;
    std::string figures = Digits(Shown(meter, TrueDial(year, At(zone, day, minute), zone)), meter.decimals);
    const double slip = seeded.Unit();
    const bool may_slip = !is_swap && day != days.front();
    bool is_estimate = false;
    if (may_slip && slip < slips.estimated) {
      is_estimate = true;
      figures = Digits(std::stod(figures) * (1 + 0.002 * seeded.Bell()), meter.decimals);
    } else if (may_slip && slip < slips.estimated + slips.two_figures_left_out && meter.decimals == 0) {
      figures = figures.size() > 2 ? figures.substr(0, figures.size() - 2) : figures;
      year.slips.push_back(day);
    } else if (may_slip && slip < slips.estimated + slips.two_figures_left_out + slips.figures_swapped) {
      const std::string swapped = Swapped(figures, seeded);
      if (swapped != figures) year.slips.push_back(day);
      figures = swapped;
    }
    MeterRead read = Typed(year, day, wrote_time ? std::optional(minute) : std::nullopt, figures);
    read.is_estimate = is_estimate;
    if (is_swap) read.new_meter_at = Volume();
    year.reads.push_back(read);
  }
}

}  // namespace lastreach
