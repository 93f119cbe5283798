#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "calendar/controller_form.h"
#include "core/civil_time.h"
#include "core/ids.h"
#include "core/result.h"
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
#include "network/drawing.h"
#include "network/network.h"
#include "network/quiet_place.h"
#include "network/repair.h"
#include "store/network_result.h"

namespace lastreach {

struct ProjectInfo {
  std::string name;
  std::string zone = "UTC";  // IANA name of the time zone the devices stand in
  Instant created{};
  friend bool operator==(const ProjectInfo&, const ProjectInfo&) = default;
};

// What planning found for one point and season, as JSON text so that sheets print without planning again.
struct StoredPlan {
  PointCode point;  // empty for a plan of the whole system
  std::string season;
  Instant made{};
  std::string json;
  friend bool operator==(const StoredPlan&, const StoredPlan&) = default;
};

// What the season of a plan of settings through a year begins with. Stored: never change it.
inline constexpr const char* kYearPlanWords = "through the year";

struct OpenOptions {
  // How long to wait for another program that is writing. DEFAULT: long enough for an import, short enough
  // for a person.
  int wait_ms = 5000;
};

// One project: a GeoPackage file that any GIS opens. Every table is described in
// docs/formats/project-file.md.
//
//   Result<Project> project = Project::Open("town.gpkg");
//   if (!project.ok()) return project.error();
//   const Status kept = project->InTransaction([&]() -> Status {
//     for (const FlushPoint& point : points) {
//       if (const Status put = project->PutFlushPoint(point); !put.ok()) return put;
//     }
//     return Ok();
//   });
//
// Promises, each tested:
//   1. A transaction is in the file whole or not at all, whatever kills the program or the machine.
//   2. Settings, samples, meter reads, visits, flush runs, flow tests, test flushes, by-products, what was
//      supplied, imports, plans and decisions on repairs are only ever added; a correction is a new row that
//      names the one it replaces. The file itself refuses anything else.
//   3. Every record reads back equal to what was put. Numbers stand in the file in the unit their column
//      names; a number with more digits than a double holds in that unit may differ in the last bit.
//   4. A file of an older version is brought up to date when opened, keeping every row; a newer one, a
//      damaged one and one that is not ours are refused in one line.
//
// ERROR: kConflict for a writer that will not finish, a file that is there already, a record that replaces
// one already replaced; kNotFound for a point that is not in the project; kBadInput for a file at fault.
// THREADS: one at a time. Several programs may have the file open; readers never wait.
class Project {
 public:
  // Makes a new file. ERROR: kConflict if there is one already; kBadRequest for an unknown zone.
  static Result<Project> Create(const std::string& path, const ProjectInfo& info = {});
  static Result<Project> Open(const std::string& path, OpenOptions options = {});
  ~Project();
  Project(Project&&) noexcept;
  Project& operator=(Project&&) noexcept;

  const std::string& path() const;

  // All that `work` writes or none of it: none if it fails, throws, or the machine stops. May be nested; an
  // inner one that fails takes back only what it wrote itself.
  Status InTransaction(const std::function<Status()>& work);

  Result<ProjectInfo> Info() const;
  Status PutInfo(const ProjectInfo& info);

  // Places. Put adds a new one or changes the one of the same name. Lists are in order of name.
  Status PutFlushPoint(const FlushPoint& point);
  Result<std::vector<FlushPoint>> FlushPoints() const;
  Result<FlushPoint> FindFlushPoint(const PointCode& code) const;  // ERROR: kNotFound
  Status PutReach(const Reach& reach);
  Result<std::vector<Reach>> Reaches() const;
  Result<std::optional<Reach>> ReachOf(const PointCode& code) const;
  Status PutControllerForm(const ControllerForm& form);
  Result<std::vector<ControllerForm>> ControllerForms() const;
  Status PutSupplyZone(const SupplyZone& zone);
  Result<std::vector<SupplyZone>> SupplyZones() const;
  // A limit equal to one that is there, source and all, is not added again; its number is returned.
  // ERROR: kBadInput for one point's limit of a kind that is for many, or the other way about.
  Result<LimitId> AddLimit(const Limit& limit);
  Status RemoveLimit(LimitId id);  // ERROR: kNotFound
  Result<std::vector<Limit>> Limits() const;

  // The year. The water of a zone in a month takes the place of what was there for the two, all of it; lists
  // are in order of zone and month. A trip equal to one that is there is not added again. Prices are one
  // record.
  Status PutMonthWater(const MonthWater& water);
  Result<std::vector<MonthWater>> MonthWaters() const;
  Result<TripId> AddTrip(const Trip& trip);  // ERROR: kBadInput for one in no month
  Status RemoveTrip(TripId id);              // ERROR: kNotFound
  Result<std::vector<Trip>> Trips() const;   // in order of arrival
  Status PutPrices(const Prices& prices);
  Result<Prices> PricesNow() const;  // empty where nobody has given any

  // Records. `replaces` names the record this one corrects, of the same point; a corrected record stays in
  // the file but is left out of the lists below. Lists are in order of time.
  Result<SettingsId> AddSettings(const SettingsRecord& record, SettingsId replaces = {});
  Result<std::vector<SettingsRecord>> SettingsOf(const PointCode& point) const;
  // The newest of any of `kinds`; of two at the same moment the later entry.
  Result<std::optional<SettingsRecord>> LatestSettings(const PointCode& point,
                                                       const std::vector<SettingsKind>& kinds) const;
  Result<SampleId> AddSample(const Sample& sample, SampleId replaces = {});
  Result<std::vector<Sample>> Samples() const;
  Result<std::vector<Sample>> SamplesOf(const PointCode& point) const;
  Result<MeterReadId> AddMeterRead(const MeterRead& read, MeterReadId replaces = {});
  Result<std::vector<MeterRead>> MeterReads() const;
  Result<std::vector<MeterRead>> MeterReadsOf(const PointCode& point) const;
  Result<VisitId> AddVisit(const Visit& visit, VisitId replaces = {});
  Result<std::vector<Visit>> Visits() const;
  Result<std::vector<Visit>> VisitsOf(const PointCode& point) const;
  Result<FlushRunId> AddFlushRun(const FlushRun& run, FlushRunId replaces = {});  // ERROR: kBadInput if none
  Result<std::vector<FlushRun>> FlushRuns() const;
  Result<std::vector<FlushRun>> FlushRunsOf(const PointCode& point) const;
  Result<FlowTestId> AddFlowTest(const FlowTest& test, FlowTestId replaces = {});
  Result<std::vector<FlowTest>> FlowTests() const;
  Result<std::vector<FlowTest>> FlowTestsOf(const PointCode& point) const;
  // ERROR: kBadInput for readings out of order of time.
  Result<TestFlushId> AddTestFlush(const TestFlush& flush, TestFlushId replaces = {});
  Result<std::vector<TestFlush>> TestFlushes() const;
  Result<std::vector<TestFlush>> TestFlushesOf(const PointCode& point) const;

  // Records of no single point. A by-product corrects one of the same site. What was supplied in a month is
  // corrected by putting the month again; one equal to what stands adds nothing. Lists are in order of time.
  Result<ByproductId> AddByproduct(const ByproductResult& result, ByproductId replaces = {});
  Result<std::vector<ByproductResult>> Byproducts() const;
  Status PutSuppliedMonth(const SuppliedMonth& supplied);
  Result<std::vector<SuppliedMonth>> SuppliedMonths() const;

  // Imports. The set of headings, in any order, is the key: the same export next month finds its columns.
  Status RememberColumns(const std::string& kind, const std::vector<std::string>& headings,
                         const std::vector<ChosenColumn>& columns);
  Result<std::vector<ChosenColumn>> RecallColumns(const std::string& kind,
                                                  const std::vector<std::string>& headings) const;
  // Every heading that ever filled a field of this kind of sheet: what a row of headings is known by.
  Result<std::vector<std::string>> RememberedHeadings(const std::string& kind) const;
  Result<ImportId> LogImport(const ImportEntry& entry, const std::vector<RejectedRow>& rejected);
  Result<std::vector<ImportEntry>> Imports() const;
  Result<std::vector<RejectedRow>> RejectedRows(ImportId import) const;

  // Plans. The latest for each point, of that season or, with an empty season, of any but a year's plan,
  // whose season begins with kYearPlanWords.
  Status PutPlan(const StoredPlan& plan);
  Result<std::optional<StoredPlan>> LatestPlan(const PointCode& point, const std::string& season = "") const;
  Result<std::optional<StoredPlan>> LatestYearPlan() const;

  // What the layers of the map show. Each Put replaces what the same layer brought before, things only those
  // of the same kind; lists are in order of arrival.
  // ERROR: kBadInput for a feature of another layer or kind, and a line or ring too short to draw.
  // COST: 100,000 mains of 10 points in 5 s.
  Status PutMains(const std::string& layer, const std::vector<DrawnMain>& mains);
  Status PutThings(const std::string& layer, ThingKind kind, const std::vector<DrawnThing>& things);
  Status PutServiceLayer(const std::string& layer, const std::vector<DrawnService>& services);
  Status PutAreas(const std::string& layer, const std::vector<DrawnArea>& areas);
  Status PutElevation(const ElevationGrid& grid);  // replaces the one of the same name
  Status PutSetAside(const std::string& layer, const std::vector<SetAside>& features);
  Result<Drawing> LoadDrawing() const;
  Result<std::vector<SetAside>> ImportSetAside() const;

  // The network, made from "map" or "tables". Putting one replaces the whole, and takes away the quiet places
  // and results of the one before, which name its nodes and links or stand in their order.
  // ERROR: kBadInput for a link, connection, run or rule whose node or link is not there, and a pattern
  // without a factor; kConflict for two nodes or two links of the same id. COST: 100,000 links in 10 s either
  // way.
  Status PutNetwork(const Network& network, const std::string& made_from);
  Result<std::optional<Network>> LoadNetwork() const;
  Result<std::string> NetworkMadeFrom() const;  // empty without a network

  // Repairs are replaced as a whole; decisions are only ever added, and listed in the order they were made.
  Status PutRepairs(const std::vector<Repair>& repairs);
  Result<std::vector<Repair>> Repairs() const;
  Status AddRepairDecision(const RepairDecision& decision);
  Result<std::vector<RepairDecision>> RepairDecisions() const;

  // Replaces all quiet places, and the layer of their reaches. Notes are kept one a line.
  // ERROR: kBadInput for a node or link that is not in the network of the project.
  Status PutQuietPlaces(const std::vector<QuietPlace>& places);
  Result<std::vector<QuietPlace>> QuietPlaces() const;

  // What was computed with the network. A result takes the place of the one of the same kind, of nodes or of
  // links as it is; its steps are added one after the other, in the order of nodes or links of the network.
  // Steps are read one at a time: a map pages through them without holding them all.
  // ERROR: kNotFound for a result or step that is not there; kBadInput where there is not one number for each
  // node or link, or an hour is not after the one before. COST: 100,000 numbers in about a millisecond.
  Result<int64_t> AddResult(const NetworkResult& result);
  Status AddResultStep(int64_t id, double hour, std::span<const float> numbers);
  Result<std::vector<NetworkResult>> Results() const;  // in order of making
  Result<std::vector<double>> ResultHours(int64_t id) const;
  Result<std::vector<float>> ResultStep(int64_t id, int step) const;  // from 0; NaN where nothing is known

 private:
  class Impl;
  explicit Project(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
