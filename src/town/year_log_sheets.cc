// What was read off meters and kits, in order of days as a log is kept.
#include <algorithm>
#include <map>

#include "town/dirty_year_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {
namespace {

// "12345 gal" parted at the first blank.
std::pair<std::string, std::string> Parted(const std::string& written) {
  const size_t blank = written.find(' ');
  return {written.substr(0, blank), written.substr(blank + 1)};
}

}  // namespace

std::string YearReadsSheet(const DirtyYear& year) {
  std::vector<const MeterRead*> reads;
  std::map<PointCode, const MeterHabit*> meters;
  for (const DeviceYear& device : year.devices) {
    if (device.basis.meter) meters[device.point.code] = &*device.basis.meter;
    for (const MeterRead& read : device.reads) reads.push_back(&read);
  }
  std::stable_sort(reads.begin(), reads.end(), [](const MeterRead* a, const MeterRead* b) {
    return DayNumber(a->day) < DayNumber(b->day);
  });
  std::vector<SheetRow> rows = {{"Date", "Time", "Device", "Read", "Unit", "Estimated", "New meter", "By"}};
  for (const MeterRead* read : reads) {
    const auto [figures, unit] = Parted(read->original);
    rows.push_back({WrittenDay(read->who, read->day),
                    read->minute_of_day ? WrittenTime(read->who, *read->minute_of_day) : "",
                    read->point.text(), figures, unit, read->is_estimate ? "est" : "",
                    read->new_meter_at ? Digits(0, meters.at(read->point)->decimals) : "", read->who});
  }
  // As a spreadsheet saves it.
  return "\xEF\xBB\xBF" + CsvText(rows, "\r\n");
}

std::string YearSamplesSheet(const DirtyYear& year) {
  struct Grab {
    const Sample* first = nullptr;
    std::map<Analyte, std::string> written;
  };
  std::vector<Grab> grabs;
  for (const DeviceYear& device : year.devices) {
    for (const Sample& sample : device.samples) {
      const Sample* last = grabs.empty() ? nullptr : grabs.back().first;
      const bool same = last != nullptr && last->point == sample.point && last->day == sample.day &&
                        last->minute_of_day == sample.minute_of_day;
      if (!same) grabs.push_back({&sample, {}});
      grabs.back().written[sample.analyte] = sample.original;
    }
  }
  std::stable_sort(grabs.begin(), grabs.end(), [](const Grab& a, const Grab& b) {
    return DayNumber(a.first->day) < DayNumber(b.first->day);
  });
  std::vector<SheetRow> rows = {{"Date", "Time", "Site", "Free chlorine (mg/L)", "Total chlorine (mg/L)",
                                 "Free ammonia (mg/L as N)", "Nitrite (mg/L as N)", "Sampler"}};
  for (Grab& grab : grabs) {
    const Sample& first = *grab.first;
    rows.push_back({WrittenDay(first.who, first.day), WrittenTime(first.who, *first.minute_of_day),
                    first.point.text(), grab.written[Analyte::kFreeChlorine],
                    grab.written[Analyte::kTotalChlorine], grab.written[Analyte::kFreeAmmonia],
                    grab.written[Analyte::kNitrite], first.who});
  }
  return CsvText(rows);
}

}  // namespace lastreach
