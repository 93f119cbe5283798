#include "app/import_sheet.h"

#include <algorithm>
#include <cmath>

#include "import/shared_services.h"

namespace lastreach {
namespace {

Status PutServices(Project& project, const ServiceTotal& total) {
  const auto found = project.ReachOf(total.point);
  if (!found.ok()) return found.error();
  if (!*found) return NotFound("point " + total.point.text() + " has no reach to put services on");
  Reach reach = **found;
  if (!total.pipe) {
    ShareOut(total.services, total.demand, reach.pipes);
  } else if (*total.pipe >= 1 && *total.pipe <= static_cast<int>(reach.pipes.size())) {
    ReachPipe& pipe = reach.pipes[static_cast<size_t>(*total.pipe - 1)];
    pipe.services = total.services;
    if (total.demand) pipe.demand = total.demand;
  } else {
    return NotFound("point " + total.point.text() + " has no pipe " + std::to_string(*total.pipe));
  }
  return project.PutReach(reach);
}

// Records are only ever added, so a sheet imported twice must not add the same ones again.
template <typename Record, typename Same>
bool IsKnown(const std::vector<Record>& known, const Record& record, Same same) {
  return std::any_of(known.begin(), known.end(), [&](const Record& other) { return same(other, record); });
}

// What was last found in each timer, so that the same sheet again finds nothing new. Where a crew has left
// other settings since, finding the old ones is news.
Result<std::vector<SettingsRecord>> LastFound(const Project& project, const std::vector<FlushPoint>& points) {
  std::vector<SettingsRecord> found;
  for (const FlushPoint& point : points) {
    const auto latest = project.LatestSettings(point.code, {SettingsKind::kAsFound, SettingsKind::kAsLeft});
    if (!latest.ok()) return latest.error();
    if (*latest && (*latest)->kind == SettingsKind::kAsFound) found.push_back(**latest);
  }
  return found;
}

// What was left or found in each timer at any time.
Result<std::vector<SettingsRecord>> Stood(const Project& project, const std::vector<FlushPoint>& points) {
  std::vector<SettingsRecord> stood;
  for (const FlushPoint& point : points) {
    const auto all = project.SettingsOf(point.code);
    if (!all.ok()) return all.error();
    for (const SettingsRecord& record : *all) {
      if (record.kind != SettingsKind::kPlanned) stood.push_back(record);
    }
  }
  return stood;
}

// Equal but for what a change of units leaves in the last digits.
bool IsNear(double a, double b) { return std::abs(a - b) <= 1e-9 * std::max(std::abs(a), std::abs(b)); }

bool SameReadings(const TestFlush& a, const TestFlush& b) {
  return std::equal(a.readings.begin(), a.readings.end(), b.readings.begin(), b.readings.end(),
                    [](const FlushReading& one, const FlushReading& other) {
                      const auto mg_per_l = [](const FlushReading& reading) {
                        return reading.residual ? reading.residual->milligrams_per_litre() : -1;
                      };
                      return IsNear(one.after.seconds(), other.after.seconds()) &&
                             IsNear(mg_per_l(one), mg_per_l(other)) &&
                             one.below_detection == other.below_detection &&
                             one.turbidity_ntu == other.turbidity_ntu;
                    });
}

class Putter {
 public:
  Putter(Project& project, ImportReport& report) : project_(project), report_(report) {}

  Status PutAll() {
    const ImportResult& result = report_.result;
    for (const auto& form : result.forms) Keep(project_.PutControllerForm(form));
    for (const auto& zone : result.zones) Keep(project_.PutSupplyZone(zone));
    for (const auto& point : result.points) Keep(project_.PutFlushPoint(point));
    for (const auto& reach : result.reaches) Keep(project_.PutReach(reach));
    for (const auto& total : result.services) Keep(PutServices(project_, total));
    for (const auto& limit : result.limits) KeepId(project_.AddLimit(limit));
    for (const auto& trip : result.trips) KeepId(project_.AddTrip(trip));
    PutMonths();
    PutPrices();
    for (const auto& record : result.settings) PutSettings(record);
    PutSamples();
    PutReads();
    PutFlushes();
    PutVisits();
    PutByproducts();
    PutSupplied();
    return failed_ ? *failed_ : Ok();
  }

 private:
  void Keep(const Status& status) {
    if (!status.ok() && !failed_) failed_ = status.error();
  }
  template <typename Id>
  void KeepId(const Result<Id>& id) {
    if (!id.ok() && !failed_) failed_ = id.error();
  }

  void PutSettings(const SettingsRecord& record) {
    const auto known = project_.SettingsOf(record.point);
    if (!known.ok()) return Keep(known.error());
    const auto same = [](const SettingsRecord& a, const SettingsRecord& b) {
      return a.kind == b.kind && a.recorded == b.recorded && a.settings == b.settings;
    };
    if (IsKnown(*known, record, same)) {
      ++report_.already_known;
    } else {
      KeepId(project_.AddSettings(record));
    }
  }

  // A sheet of temperatures does not take away what another said of the use.
  void PutMonths() {
    if (report_.result.months.empty()) return;
    const auto known = project_.MonthWaters();
    if (!known.ok()) return Keep(known.error());
    for (MonthWater water : report_.result.months) {
      for (const MonthWater& old : *known) {
        if (old.zone == water.zone && old.month == water.month) water = FilledFrom(std::move(water), old);
      }
      Keep(project_.PutMonthWater(water));
    }
  }

  // In another currency the price of one says nothing of the price of the other.
  void PutPrices() {
    if (!report_.result.prices) return;
    const auto known = project_.PricesNow();
    if (!known.ok()) return Keep(known.error());
    const Prices& sheet = *report_.result.prices;
    const bool same = sheet.currency.empty() || known->currency.empty() || sheet.currency == known->currency;
    Keep(project_.PutPrices(same ? FilledFrom(sheet, *known) : sheet));
  }

  void PutSamples() {
    if (report_.result.samples.empty()) return;
    const auto known = project_.Samples();
    if (!known.ok()) return Keep(known.error());
    const auto same = [](const Sample& a, const Sample& b) {
      return a.point == b.point && a.day == b.day && a.minute_of_day == b.minute_of_day &&
             a.analyte == b.analyte && a.residual == b.residual && a.original == b.original;
    };
    for (const Sample& sample : report_.result.samples) {
      if (IsKnown(*known, sample, same)) {
        ++report_.already_known;
      } else {
        KeepId(project_.AddSample(sample));
      }
    }
  }

  void PutReads() {
    if (report_.result.reads.empty()) return;
    const auto known = project_.MeterReads();
    if (!known.ok()) return Keep(known.error());
    const auto same = [](const MeterRead& a, const MeterRead& b) {
      return a.point == b.point && a.day == b.day && a.minute_of_day == b.minute_of_day &&
             a.original == b.original;
    };
    for (const MeterRead& read : report_.result.reads) {
      if (IsKnown(*known, read, same)) {
        ++report_.already_known;
      } else {
        KeepId(project_.AddMeterRead(read));
      }
    }
  }

  // Puts those of `records` that `list` does not give already.
  template <typename Record, typename Same, typename Id>
  void PutNew(const std::vector<Record>& records, Result<std::vector<Record>> (Project::*list)() const,
              Same same, Result<Id> (Project::*add)(const Record&, Id)) {
    if (records.empty()) return;
    const auto known = (project_.*list)();
    if (!known.ok()) return Keep(known.error());
    for (const Record& record : records) {
      if (IsKnown(*known, record, same)) {
        ++report_.already_known;
      } else {
        KeepId((project_.*add)(record, Id{}));
      }
    }
  }

  void PutFlushes() {
    const ImportResult& result = report_.result;
    const auto same_run = [](const FlushRun& a, const FlushRun& b) {
      return a.point == b.point && a.begun == b.begun && IsNear(a.lasted.seconds(), b.lasted.seconds());
    };
    PutNew(result.flush_runs, &Project::FlushRuns, same_run, &Project::AddFlushRun);
    const auto same_test = [](const FlowTest& a, const FlowTest& b) {
      return a.point == b.point && a.day == b.day && a.minute_of_day == b.minute_of_day &&
             IsNear(a.flow.litres_per_second(), b.flow.litres_per_second());
    };
    PutNew(result.flow_tests, &Project::FlowTests, same_test, &Project::AddFlowTest);
    PutTestFlushes();
  }

  // A sheet with other readings of a flush that is there corrects it.
  void PutTestFlushes() {
    if (report_.result.test_flushes.empty()) return;
    const auto known = project_.TestFlushes();
    if (!known.ok()) return Keep(known.error());
    for (const TestFlush& flush : report_.result.test_flushes) {
      const auto there = std::find_if(known->begin(), known->end(), [&](const TestFlush& old) {
        return old.point == flush.point && old.begun == flush.begun;
      });
      if (there != known->end() && SameReadings(*there, flush)) {
        ++report_.already_known;
      } else {
        KeepId(project_.AddTestFlush(flush, there == known->end() ? TestFlushId{} : there->id));
      }
    }
  }

  void PutVisits() {
    const auto same = [](const Visit& a, const Visit& b) {
      return a.point == b.point && a.arrived == b.arrived && a.why == b.why;
    };
    PutNew(report_.result.visits, &Project::Visits, same, &Project::AddVisit);
  }

  void PutByproducts() {
    const auto same = [](const ByproductResult& a, const ByproductResult& b) {
      return a.site == b.site && a.day == b.day && a.byproduct == b.byproduct && a.original == b.original;
    };
    PutNew(report_.result.byproducts, &Project::Byproducts, same, &Project::AddByproduct);
  }

  void PutSupplied() {
    if (report_.result.supplied.empty()) return;
    const auto known = project_.SuppliedMonths();
    if (!known.ok()) return Keep(known.error());
    for (const SuppliedMonth& month : report_.result.supplied) {
      const auto same = [](const SuppliedMonth& a, const SuppliedMonth& b) {
        return a.year == b.year && a.month == b.month &&
               IsNear(a.supplied.cubic_metres(), b.supplied.cubic_metres());
      };
      if (IsKnown(*known, month, same)) {
        ++report_.already_known;
      } else {
        Keep(project_.PutSuppliedMonth(month));
      }
    }
  }

  Project& project_;
  ImportReport& report_;
  std::optional<Status> failed_;
};

}  // namespace

Result<ImportReport> ImportSheet(Project& project, const ImportRequest& request) {
  ImportReport report;
  MappingOptions mapping;
  mapping.date_order = request.date_order;
  ReadOptions reading;
  reading.sheet = request.sheet;
  if (!request.columns_file.empty()) {
    const auto typed = ReadColumnsFile(request.columns_file, request.kind);
    if (!typed.ok()) return typed.error();
    mapping.typed = *typed;
    for (const ChosenColumn& column : *typed) reading.headings.push_back(column.heading);
  }
  const std::string kind(ToText(request.kind));
  const auto seen_before = project.RememberedHeadings(kind);
  if (!seen_before.ok()) return seen_before.error();
  reading.headings.insert(reading.headings.end(), seen_before->begin(), seen_before->end());
  auto table = ReadTable(request.table, request.kind, reading);
  if (!table.ok()) return table.error();
  report.table = *std::move(table);

  const auto remembered = project.RecallColumns(kind, report.table.headings);
  if (!remembered.ok()) return remembered.error();
  mapping.remembered = *remembered;
  auto preview = MapColumns(report.table, request.kind, mapping);
  if (!preview.ok()) return preview.error();
  report.preview = *std::move(preview);

  const auto info = project.Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto points = project.FlushPoints();
  if (!points.ok()) return points.error();
  ImportContext context;
  context.zone = *zone;
  context.who = request.who;
  context.when = request.when;
  context.known_points = *points;
  const auto zones = project.SupplyZones();
  if (!zones.ok()) return zones.error();
  for (const SupplyZone& known : *zones) context.known_zones.push_back(known.name);
  const auto found = LastFound(project, *points);
  if (!found.ok()) return found.error();
  context.known_settings = *found;
  if (request.kind == TableKind::kVisits) {
    auto stood = Stood(project, *points);
    if (!stood.ok()) return stood.error();
    context.stood = *std::move(stood);
  }
  report.result = ImportRows(report.table, report.preview, context);
  if (request.preview_only) return report;

  const Status kept = project.InTransaction([&]() -> Status {
    if (const Status put = Putter(project, report).PutAll(); !put.ok()) return put;
    const Status columns = project.RememberColumns(kind, report.table.headings, ToRemember(report.preview));
    if (!columns.ok()) return columns;
    std::vector<RejectedRow> all = report.result.rejected;
    all.insert(all.end(), report.result.left_out.begin(), report.result.left_out.end());
    const ImportEntry entry{{},
                            request.table,
                            kind,
                            request.when,
                            request.who,
                            report.result.rows_in,
                            static_cast<int>(report.result.rejected.size())};
    const auto logged = project.LogImport(entry, all);
    return logged.ok() ? Ok() : Status(logged.error());
  });
  if (!kept.ok()) return kept.error();
  return report;
}

}  // namespace lastreach
