#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "map/plane.h"
#include "network/network.h"

namespace lastreach {

// The place on a link that is nearest to something.
struct PlaceOnMain {
  LinkIndex link{};
  double along_m = 0;  // from the link's `from` end
  double distance_m = 0;
  PlanePoint at;       // on the link
  PlanePoint from_at;  // on what was asked about
};

// Finds the mains of a network near a place. Links without a line are not in it.
// COST: O(vertices log vertices) to build; O(log vertices + found) a question.
class NearMains {
 public:
  using Wanted = std::function<bool(LinkIndex)>;

  explicit NearMains(const Network& network);
  ~NearMains();
  NearMains(NearMains&&) noexcept;
  NearMains& operator=(NearMains&&) noexcept;

  // Every wanted link within the radius, once, at its nearest place; the nearest first.
  std::vector<PlaceOnMain> Within(PlanePoint place, double radius_m, const Wanted& wanted = {}) const;
  // The nearest wanted link; none where there is none.
  std::optional<PlaceOnMain> Nearest(PlanePoint place, const Wanted& wanted = {}) const;
  // The nearest wanted link to any place of the lines of `links`; none where there is none. Crossing lines
  // are 0 m apart.
  std::optional<PlaceOnMain> NearestTo(const std::vector<LinkIndex>& links, const Wanted& wanted) const;

  const Plane& plane() const;

 private:
  struct Index;
  std::unique_ptr<Index> index_;
};

}  // namespace lastreach
