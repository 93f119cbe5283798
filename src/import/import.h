#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/controller_form.h"
#include "core/civil_time.h"
#include "core/zone.h"
#include "import/mapping.h"
#include "import/table.h"
#include "ledger/flush_point.h"
#include "ledger/flush_runs.h"
#include "ledger/imports.h"
#include "ledger/limits.h"
#include "ledger/month_records.h"
#include "ledger/month_water.h"
#include "ledger/prices.h"
#include "ledger/reach.h"
#include "ledger/records.h"
#include "ledger/trips.h"

namespace lastreach {

// What the project knows already and who is importing.
struct ImportContext {
  Zone zone = Zone::Utc();
  std::string who;                       // for the origin of numbers, where the sheet names nobody
  Instant when{};                        // now; readings later than tomorrow are refused
  std::vector<FlushPoint> known_points;  // readings of any other point are refused
  std::vector<std::string> known_zones;  // names of the supply zones
  std::vector<Sample> known_samples;     // a reading that is among these is refused as in already
  std::vector<MeterRead> known_reads;
  std::vector<SettingsRecord>
      known_settings;                 // the latest as-found of each point: the same are not added again
  std::vector<SettingsRecord> stood;  // as left and as found, in order of time, for visits
  Analyte analyte = Analyte::kFreeChlorine;  // what "residual" is where the sheet does not say
  // Stands for "ND" and the like. DEFAULT: what a field colorimeter can tell from nothing, [M] practice.
  Concentration detection_limit = Concentration::MilligramsPerLitre(0.05);
  // The same for by-products. DEFAULT: what laboratories report down to; common practice, no source.
  Concentration byproduct_detection_limit = Concentration::MicrogramsPerLitre(1);
};

// Services on the reach of one point, all rows of a sheet of services together.
struct ServiceTotal {
  PointCode point;
  std::optional<int> pipe;  // position in the reach, from 1; none: spread over the whole reach by length
  Sourced<int> services;
  std::optional<Sourced<Flow>> demand;  // of all of them together
  friend bool operator==(const ServiceTotal&, const ServiceTotal&) = default;
};

// Every row of the table is either in or in `rejected`, once: rows_in + rejected.size() == table.rows.size().
struct ImportResult {
  std::vector<FlushPoint> points;
  std::vector<Reach> reaches;
  std::vector<SettingsRecord> settings;
  std::vector<ServiceTotal> services;
  std::vector<Sample> samples;
  std::vector<MeterRead> reads;
  std::vector<ControllerForm> forms;
  std::vector<Limit> limits;
  std::vector<SupplyZone> zones;
  std::vector<MonthWater> months;
  std::vector<Trip> trips;
  std::optional<Prices> prices;
  std::vector<FlushRun> flush_runs;
  std::vector<FlowTest> flow_tests;
  std::vector<TestFlush> test_flushes;
  std::vector<Visit> visits;
  std::vector<ByproductResult> byproducts;
  std::vector<SuppliedMonth> supplied;

  int rows_in = 0;
  std::vector<RejectedRow> rejected;  // rows that did not come in
  std::vector<RejectedRow> left_out;  // cells left out of rows that did
  std::vector<std::string> notes;     // how something unusual was read: "line 7: ..."
};

// Makes records of the rows. Nothing is dropped in silence: a row with a needed cell at fault is rejected
// with its line and reason; one with another cell at fault comes in without it, and the cell is listed.
//
// Numbers carry their origin: "about 300", "~300" and "300?" are estimated, a flow with a method is measured,
// the rest typed; the note keeps what was written where a unit or a word stood with it.
//
// Settings of a sheet of devices are as-found on the day in the "date" column, or now.
ImportResult ImportRows(const Table& table, const Preview& preview, const ImportContext& context);

}  // namespace lastreach
