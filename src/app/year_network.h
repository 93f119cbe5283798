#pragma once

#include <functional>
#include <string>
#include <vector>

#include "app/planning_network.h"
#include "year/plan_year.h"
#include "year/year_answer.h"

namespace lastreach {

// The parts of a year on the whole network: each with its own water and use, devices in frost shut.
// What it is made of is kept by reference.
class YearOnNetwork {
 public:
  YearOnNetwork(const MapSource& source, const ProjectFacts& facts, const PlanOptions& options,
                const std::vector<YearPart>& year, const std::vector<SupplyZone>& zones, Instant now);

  // Plans each part for itself on the network and puts into `records` what arrives at each device's tee then.
  // `progress` is called after each part. ERROR: as PreparePlanning and PlanOnNetwork. COST: that of
  // PlanOnNetwork for each part.
  Status CountOn(YearRecords& records, const std::function<void(size_t done)>& progress);

  // Runs the network with what the plan has devices stand at in each part. Where a main carries less than
  // settings count on, `records` is lowered to it, so that the next plan is for that.
  // ERROR: as JudgeOnNetwork. COST: one run of the network a part.
  Result<std::vector<PartOnNetwork>> Judge(const YearPlan& plan, YearRecords& records);

  const std::vector<std::string>& notes() const { return notes_; }

 private:
  struct OfPart {
    PreparedPlanning prepared;
    std::vector<DeviceFacts> facts;
    NetworkJudgement now;
  };

  Result<OfPart> Prepare(const YearPart& part, const YearRecords& records) const;

  const MapSource& source_;
  const ProjectFacts& facts_;
  const PlanOptions& options_;
  const std::vector<YearPart>& year_;
  const std::vector<SupplyZone>& zones_;
  Instant now_;
  std::vector<OfPart> parts_;
  std::vector<std::string> notes_;
};

}  // namespace lastreach
