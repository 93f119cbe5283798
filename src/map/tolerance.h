#pragma once

#include <optional>
#include <string>
#include <vector>

namespace lastreach {

// How far apart the drawing leaves ends that belong together, found from the drawing itself.
//
// Free ends near another line are of two sorts: ends that fall short, and true dead ends that happen to lie
// there. True ones are seen alone from 12 m to 30 m, where nobody falls short: b of them a metre. At a
// distance d where n(d) ends a metre are seen, the chance that one of them falls short is about
//     1 - b / n(d),
// an under-estimate, since true dead ends thin out towards other lines. The tolerance is the distance up to
// which n stays three times b and more.
// SOURCE: the two-population argument is common practice in record matching [FellegiSunter1969]; the bounds
// of 12 m and 30 m are common practice, no source.
class GapModel {
 public:
  static constexpr double kLook_m = 30;    // gaps are looked for so far
  static constexpr double kLeast_m = 0.5;  // drawn by hand, nobody means less
  static constexpr double kMost_m = 10;    // a lane apart: no drawing is that bad
  static constexpr double kFewData_m = 1;  // where there are too few ends to tell

  // `gaps_m`: of all free ends, to the nearest place worth closing, within kLook_m.
  // `set`: a tolerance a person has set.
  explicit GapModel(std::vector<double> gaps_m, std::optional<double> set = {});

  double tolerance_m() const { return tolerance_m_; }
  const std::string& why() const { return why_; }

  // The chance that an end that far from another line belongs to it; never rises with the distance.
  double Chance(double gap_m) const;

 private:
  double Ends_per_m(double at_m) const;  // n(d)

  std::vector<double> gaps_m_;  // in order
  double background_per_m_ = 0;
  double tolerance_m_ = 0;
  std::string why_;
  std::vector<double> chance_;  // at kLook_m / 600 apart
};

}  // namespace lastreach
