#pragma once

#include <set>
#include <tuple>
#include <vector>

#include "together/choice_programme.h"
#include "together/stagger_system.h"

namespace lastreach {

// Rows of an integer programme over some devices, each minute of each limit once, added as they turn out to
// be needed. REQUIRES: `system` and `who` outlive this.
class ProgrammeRows {
 public:
  ProgrammeRows(const StaggerSystem& system, const std::vector<size_t>& who, ClockCare care, WhichRoom which)
      : system_(system), who_(who), care_(care), which_(which) {}

  // Adds those of the limits that the shares break; how many were new.
  size_t Add(const Shares& shares, const std::vector<uint32_t>& limits);
  // Takes over the room as it is now, which may have been lessened.
  void Refresh();
  const std::vector<ChoiceProgramme::Row>& rows() const { return rows_; }

 private:
  ChoiceProgramme::Row RowOf(const OverUse& use) const;

  const StaggerSystem& system_;
  const std::vector<size_t>& who_;
  ClockCare care_;
  WhichRoom which_;
  std::vector<ChoiceProgramme::Row> rows_;
  std::vector<OverUse> uses_;  // size rows
  std::set<std::tuple<uint32_t, int, int, int>> keys_;
};

// Rows added until the relaxed programme keeps every minute of the limits, or for some rounds; false if
// nothing keeps the rows.
bool CloseRelaxed(RelaxedChoice& relaxed, ProgrammeRows& rows, const StaggerSystem& system,
                  const std::vector<size_t>& who, const std::vector<uint32_t>& limits);

// Whether it is proven that those devices cannot all run under those of the limits.
bool CannotAllRun(const StaggerSystem& system, const std::vector<size_t>& who,
                  const std::vector<uint32_t>& limits, ClockCare care);

}  // namespace lastreach
