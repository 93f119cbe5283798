#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "together/meetings.h"
#include "together/shared_limit.h"

namespace lastreach {

// The limits on pressure that a programme needs to know of: of all places and hours only those that may bind.
//
// A device's need at a place is what the pressure falls there when it opens alone; the room is what there is
// to spare. Drops grow faster than flows, so the sum promises a little much: sets that keep it and break the
// limit when solved are learnt, as they turn up.
class PressureLimits {
 public:
  // `exact_up_to`: with no more devices than this a set that breaks is forbidden as it is; with more, the
  // room at its place is lessened to keep out all that are as large, which may keep out some that hold.
  PressureLimits(PressureJudge& judge, std::vector<std::string> codes, size_t exact_up_to)
      : judge_(&judge), codes_(std::move(codes)), exact_up_to_(exact_up_to) {}

  // The places that each of these devices presses most in these states, and all of them together, added to
  // the limits.
  void AddFirst(const std::vector<size_t>& who, const std::vector<size_t>& states,
                std::vector<SharedLimit>& limits);
  // Makes sure that the limits forbid this set. `devices`: in the programme.
  void Learn(const BrokenSet& broken, size_t devices, std::vector<SharedLimit>& limits);

  size_t places() const { return at_.size(); }  // that were added, one a place and group of states
  size_t sets() const { return sets_; }         // learnt
  bool lessened() const { return lessened_; }   // whether any room was

 private:
  // Number of the limit of a place in the states that share drops with this one; added if new.
  size_t LimitAt(uint32_t place, size_t state, std::vector<SharedLimit>& limits);
  // Whether its limit at the place it breaks keeps it out already.
  bool KeepsOut(const BrokenSet& broken, std::vector<SharedLimit>& limits);
  void Forbid(const BrokenSet& broken, std::vector<SharedLimit>& limits);
  double RoomIn(const SharedLimit& limit, size_t state) const;  // what is planned with
  std::string PlaceWords(uint32_t place) const;
  bool SharesDrops(size_t a, size_t b) const;

  PressureJudge* judge_;
  std::vector<std::string> codes_;
  size_t exact_up_to_;
  std::map<std::pair<uint32_t, size_t>, size_t> at_;  // by place and the state whose drops are used
  size_t sets_ = 0;
  bool lessened_ = false;
};

}  // namespace lastreach
