#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/result.h"
#include "network/network.h"
#include "together/pressure_moments.h"

namespace lastreach {

// Where a device draws, and how much while it is open.
struct DrawingPoint {
  NodeIndex node{};
  double flow_m3_per_s = 0;
};

// The least pressure at customers of one zone, or of all.
struct LeastPressureThere {
  std::string zone;  // as Node::zone; empty for every customer
  double least_m = 0;
  std::string source;  // the source box
};

// Devices open together, by their number; rising.
using OpenSet = std::vector<uint32_t>;

struct JudgedSet {
  bool solved = false;       // what did not settle counts as breaking the limits
  double least_spare_m = 0;  // pressure over its limit, the least over all places; below 0: short
  uint32_t place = 0;        // where that is
  bool Holds() const;        // to a millimetre
};

struct PressureOptions {
  int solvers = 2;      // each on its own thread
  int drop_states = 2;  // so many of the network's states have drops of their own, those with the least
                        // demand of each group of neighbours; the others use their group's
};

struct PressureJudgeSummary {
  size_t solves = 0;
  size_t reused = 0;     // sets answered by one solved before: the same, part of one that holds, or more than
                         // one that breaks
  double prepare_s = 0;  // wall time
  double solve_s = 0;    // wall time
};

// What devices that run together do to pressure, solved: for a set of open devices and a moment, the pressure
// at every customer's node over the limit there.
//
// Pressure falls where more is drawn (the laws of links rise, so heads fall with every demand), hence a part
// of a set that holds holds and more than one that breaks breaks; that is used to spare solves. Places that
// are short with no device open are left out of the judging and named. Places without elevation or limit are
// not judged.
//
// ERROR: heads to the solver's tolerance, 1e-7 m; a set holds where nothing is short by more than 1 mm.
// COST: a steady state a set and moment from a near answer; drops: one a device and drop state.
// DETERMINISM: work is dealt to the solvers by number, never by who is free.
class PressureJudge {
 public:
  static Result<PressureJudge> Make(const Network& network, std::vector<DrawingPoint> devices,
                                    std::vector<LeastPressureThere> limits,
                                    const PressureOptions& options = {});
  ~PressureJudge();
  PressureJudge(PressureJudge&&) noexcept;
  PressureJudge& operator=(PressureJudge&&) noexcept;

  const PressureMoments& moments() const;
  size_t states() const;
  size_t devices() const;

  // Nodes that are judged.
  const std::vector<NodeIndex>& places() const;
  const LeastPressureThere& LimitOf(uint32_t place) const;
  // Pressure over the limit with no device open, size places; infinity where it is short already.
  std::span<const double> Spare_m(size_t state) const;
  // Places short with no device open, with the least spare of all states: "N12: 11.0 m of 14.1 m ...".
  std::vector<std::string> ShortWithoutDevices() const;

  JudgedSet Judge(size_t state, const OpenSet& open);
  struct Question {
    size_t state = 0;
    OpenSet open;
  };
  // The same for many, on all solvers.
  std::vector<JudgedSet> JudgeAll(const std::vector<Question>& questions);

  // Places that are short with these open, beside those that are without; all of them where it does not
  // settle.
  std::vector<uint32_t> PlacesShort(size_t state, const OpenSet& open);

  // The state whose drops this one uses.
  size_t DropStateOf(size_t state) const;
  // How much the pressure falls at each place when this device alone opens, in the state's drop state; size
  // places. Where drops grow faster than flows, as on every tree, the sum of drops is no more than the drop
  // of all together. COST: the first call for a drop state solves it for every device.
  std::span<const float> Drop_m(size_t state, uint32_t device);

  const PressureJudgeSummary& summary() const;

 private:
  class Impl;
  explicit PressureJudge(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
