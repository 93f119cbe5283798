#include "app/put_import.h"

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
  Putter(Project& project, const ImportResult& result, int& already_known)
      : project_(project), result_(result), already_known_(already_known) {}

  Status PutAll() {
    for (const auto& form : result_.forms) Keep(project_.PutControllerForm(form));
    for (const auto& zone : result_.zones) Keep(project_.PutSupplyZone(zone));
    for (const auto& point : result_.points) Keep(project_.PutFlushPoint(point));
    for (const auto& reach : result_.reaches) Keep(project_.PutReach(reach));
    for (const auto& total : result_.services) Keep(PutServices(project_, total));
    for (const auto& limit : result_.limits) KeepId(project_.AddLimit(limit));
    for (const auto& trip : result_.trips) KeepId(project_.AddTrip(trip));
    PutMonths();
    PutPrices();
    for (const auto& record : result_.settings) PutSettings(record);
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
      ++already_known_;
    } else {
      KeepId(project_.AddSettings(record));
    }
  }

  // A sheet of temperatures does not take away what another said of the use.
  void PutMonths() {
    if (result_.months.empty()) return;
    const auto known = project_.MonthWaters();
    if (!known.ok()) return Keep(known.error());
    for (MonthWater water : result_.months) {
      for (const MonthWater& old : *known) {
        if (old.zone == water.zone && old.month == water.month) water = FilledFrom(std::move(water), old);
      }
      Keep(project_.PutMonthWater(water));
    }
  }

  // In another currency the price of one says nothing of the price of the other.
  void PutPrices() {
    if (!result_.prices) return;
    const auto known = project_.PricesNow();
    if (!known.ok()) return Keep(known.error());
    const Prices& sheet = *result_.prices;
    const bool same = sheet.currency.empty() || known->currency.empty() || sheet.currency == known->currency;
    Keep(project_.PutPrices(same ? FilledFrom(sheet, *known) : sheet));
  }

  void PutSamples() {
    if (result_.samples.empty()) return;
    const auto known = project_.Samples();
    if (!known.ok()) return Keep(known.error());
    const auto same = [](const Sample& a, const Sample& b) {
      return a.point == b.point && a.day == b.day && a.minute_of_day == b.minute_of_day &&
             a.analyte == b.analyte && a.residual == b.residual && a.original == b.original;
    };
    for (const Sample& sample : result_.samples) {
      if (IsKnown(*known, sample, same)) {
        ++already_known_;
      } else {
        KeepId(project_.AddSample(sample));
      }
    }
  }

  void PutReads() {
    if (result_.reads.empty()) return;
    const auto known = project_.MeterReads();
    if (!known.ok()) return Keep(known.error());
    const auto same = [](const MeterRead& a, const MeterRead& b) {
      return a.point == b.point && a.day == b.day && a.minute_of_day == b.minute_of_day &&
             a.original == b.original;
    };
    for (const MeterRead& read : result_.reads) {
      if (IsKnown(*known, read, same)) {
        ++already_known_;
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
        ++already_known_;
      } else {
        KeepId((project_.*add)(record, Id{}));
      }
    }
  }

  void PutFlushes() {
    const auto same_run = [](const FlushRun& a, const FlushRun& b) {
      return a.point == b.point && a.begun == b.begun && IsNear(a.lasted.seconds(), b.lasted.seconds());
    };
    PutNew(result_.flush_runs, &Project::FlushRuns, same_run, &Project::AddFlushRun);
    const auto same_test = [](const FlowTest& a, const FlowTest& b) {
      return a.point == b.point && a.day == b.day && a.minute_of_day == b.minute_of_day &&
             IsNear(a.flow.litres_per_second(), b.flow.litres_per_second());
    };
    PutNew(result_.flow_tests, &Project::FlowTests, same_test, &Project::AddFlowTest);
    PutTestFlushes();
  }

  // A sheet with other readings of a flush that is there corrects it.
  void PutTestFlushes() {
    if (result_.test_flushes.empty()) return;
    const auto known = project_.TestFlushes();
    if (!known.ok()) return Keep(known.error());
    for (const TestFlush& flush : result_.test_flushes) {
      const auto there = std::find_if(known->begin(), known->end(), [&](const TestFlush& old) {
        return old.point == flush.point && old.begun == flush.begun;
      });
      if (there != known->end() && SameReadings(*there, flush)) {
        ++already_known_;
      } else {
        KeepId(project_.AddTestFlush(flush, there == known->end() ? TestFlushId{} : there->id));
      }
    }
  }

  void PutVisits() {
    const auto same = [](const Visit& a, const Visit& b) {
      return a.point == b.point && a.arrived == b.arrived && a.why == b.why;
    };
    PutNew(result_.visits, &Project::Visits, same, &Project::AddVisit);
  }

  void PutByproducts() {
    const auto same = [](const ByproductResult& a, const ByproductResult& b) {
      return a.site == b.site && a.day == b.day && a.byproduct == b.byproduct && a.original == b.original;
    };
    PutNew(result_.byproducts, &Project::Byproducts, same, &Project::AddByproduct);
  }

  void PutSupplied() {
    if (result_.supplied.empty()) return;
    const auto known = project_.SuppliedMonths();
    if (!known.ok()) return Keep(known.error());
    for (const SuppliedMonth& month : result_.supplied) {
      const auto same = [](const SuppliedMonth& a, const SuppliedMonth& b) {
        return a.year == b.year && a.month == b.month &&
               IsNear(a.supplied.cubic_metres(), b.supplied.cubic_metres());
      };
      if (IsKnown(*known, month, same)) {
        ++already_known_;
      } else {
        Keep(project_.PutSuppliedMonth(month));
      }
    }
  }

  Project& project_;
  const ImportResult& result_;
  int& already_known_;
  std::optional<Status> failed_;
};

}  // namespace

Status PutImport(Project& project, const ImportResult& result, int& already_known) {
  return Putter(project, result, already_known).PutAll();
}

}  // namespace lastreach
