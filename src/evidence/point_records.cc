#include "evidence/point_records.h"

#include <vector>

namespace lastreach {

PointRecords KnownBy(PointRecords records, Date day) {
  const Instant end = records.zone.FirstInstant(Midnight(AddDays(day, 1)));
  const auto is_later_day = [&](const auto& record) { return DayNumber(record.day) > DayNumber(day); };
  std::erase_if(records.settings, [&](const SettingsRecord& record) { return record.recorded >= end; });
  std::erase_if(records.reads, is_later_day);
  std::erase_if(records.flow_tests, is_later_day);
  std::erase_if(records.samples, is_later_day);
  std::erase_if(records.flush_runs, [&](const FlushRun& run) { return run.begun >= end; });
  std::erase_if(records.visits, [&](const Visit& visit) { return visit.arrived >= end; });
  return records;
}

}  // namespace lastreach
