#include "evidence/fit_model.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/quantity.h"
#include "evidence/likelihood.h"

namespace lastreach {
namespace {

constexpr double kStep = 0.02;  // of z
constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

PseudoResidual ResidualOf(const OccasionReading& reading, double predicted, double nu) {
  return reading.below_detection ? CensoredResidual(reading.mg_per_l, predicted, reading.sd_mg_per_l, nu)
                                 : StudentResidual(reading.mg_per_l, predicted, reading.sd_mg_per_l, nu);
}

// The material of the pipes of a point that have such a wall.
std::string MaterialOf(const FitPoint& point, const PlanningNumbers& numbers, double wall_m_per_s) {
  if (point.facts.supply.wall_m_per_day) return "";
  for (std::size_t i = 0; i < numbers.pipes.size(); ++i) {
    if (numbers.pipes[i].wall_m_per_s != wall_m_per_s) continue;
    const std::string& material = point.facts.reach.pipes[i].material;
    return material.empty() ? "not known" : material;
  }
  return "";
}

std::size_t NumberIn(const std::vector<FitOccasion>& occasions, const FitOccasion& occasion) {
  const bool ours =
      !occasions.empty() && &occasion >= occasions.data() && &occasion < occasions.data() + occasions.size();
  return ours ? static_cast<std::size_t>(&occasion - occasions.data()) : kNone;
}

}  // namespace

FitModel::FitModel(const FitFacts& facts, const FitOptions& options) : facts_(facts), options_(options) {
  for (std::size_t p = 0; p < facts.points.size(); ++p) {
    for (FitOccasion& occasion : OccasionsOf(facts, p, options, left_out_, assumed_)) {
      readings_ += occasion.readings.size();
      occasions_.push_back(std::move(occasion));
    }
  }
  if (!occasions_.empty()) AddUnknowns();
}

void FitModel::AddUnknowns() {
  const FitOccasion& first = occasions_.front();
  const FitPoint& read = facts_.points[first.point];
  const auto at_20c = NumbersOn(read, facts_, options_, options_.today, 20.0);
  const double per_day = at_20c.ok() ? at_20c->bulk_per_s * kSecondsPerDay : 0;
  unknowns_.push_back(
      {{FittedKind::kBulk, {}, "", per_day, LossLogSd(read.facts.supply.bulk_per_day_at_20c), 0, 0}});
  AddWalls();
  std::size_t point = kNone;
  for (std::size_t o = 0; o < occasions_.size(); ++o) {
    const FitOccasion& occasion = occasions_[o];
    if (occasion.point != point) {
      point = occasion.point;
      bool opens = false;
      for (const FitOccasion& other : occasions_)
        opens = opens || (other.point == point && !other.runs.empty());
      AddPoint(point, occasion.numbers, opens);
    }
    const PointCode& code = facts_.points[point].facts.point.code;
    if (occasion.told_flow_log_sd > 0) {
      Unknown flow{{FittedKind::kFlushFlow, code, "", 0, occasion.told_flow_log_sd, 0, 0}, point, o};
      for (const OwnRun& own : occasion.own) {
        if (own.told_flow) flow.number.before = own.flow_m3_per_s;
      }
      unknowns_.push_back(flow);
    }
    if (occasion.own_main) {
      unknowns_.push_back({{FittedKind::kMainThatDay, code, "", 1, options_.main_swing, 0, 0}, point, o});
    }
  }
}

// One for each kind of wall that planning tells apart in the reaches read.
void FitModel::AddWalls() {
  for (const FitOccasion& occasion : occasions_) {
    const FitPoint& point = facts_.points[occasion.point];
    for (const PipeNumbers& pipe : occasion.numbers.pipes) {
      const bool known = std::any_of(unknowns_.begin(), unknowns_.end(), [&](const Unknown& u) {
        return u.number.kind == FittedKind::kWall && u.wall_m_per_s == pipe.wall_m_per_s;
      });
      if (known || !(pipe.wall_m_per_s > 0)) continue;
      Unknown wall{{FittedKind::kWall,
                    {},
                    MaterialOf(point, occasion.numbers, pipe.wall_m_per_s),
                    pipe.wall_m_per_s * kSecondsPerDay,
                    LossLogSd(point.facts.supply.wall_m_per_day),
                    0,
                    0}};
      wall.wall_m_per_s = pipe.wall_m_per_s;
      unknowns_.push_back(wall);
    }
  }
}

void FitModel::AddPoint(std::size_t point, const PlanningNumbers& numbers, bool opens) {
  const PointCode& code = facts_.points[point].facts.point.code;
  const auto add = [&](FittedKind kind, double before, double log_sd) {
    if (log_sd > 0) unknowns_.push_back({{kind, code, "", before, log_sd, 0, 0}, point});
  };
  add(FittedKind::kVolume, numbers.volume_m3(), numbers.log_sd[kReachVolume]);
  if (numbers.demand_m3_per_s() > 0)
    add(FittedKind::kDemand, numbers.demand_m3_per_s() * kSecondsPerDay, numbers.log_sd[kDemand]);
  if (opens) add(FittedKind::kFlow, numbers.flow_m3_per_s, numbers.log_sd[kDeviceFlow]);
  add(FittedKind::kUpstream, numbers.upstream_mg_per_l, numbers.log_sd[kUpstream]);
}

int FitModel::Find(FittedKind kind, std::size_t point_or_occasion) const {
  const bool of_occasion = kind == FittedKind::kFlushFlow || kind == FittedKind::kMainThatDay;
  for (std::size_t u = 0; u < unknowns_.size(); ++u) {
    if (unknowns_[u].number.kind != kind) continue;
    if (kind == FittedKind::kBulk ||
        (of_occasion ? unknowns_[u].occasion : unknowns_[u].point) == point_or_occasion)
      return static_cast<int>(u);
  }
  return -1;
}

double FitModel::FactorOf(int unknown, std::span<const double> z) const {
  if (unknown < 0) return 1;
  const auto u = static_cast<std::size_t>(unknown);
  return std::exp(unknowns_[u].number.before_log_sd * z[u]);
}

std::vector<double> FitModel::Shares(const FitOccasion& occasion, std::span<const double> z) const {
  PlanningNumbers numbers = occasion.numbers;
  numbers.bulk_per_s *= FactorOf(Find(FittedKind::kBulk, 0), z);
  const double stretch = FactorOf(Find(FittedKind::kVolume, occasion.point), z);
  const double thirst = FactorOf(Find(FittedKind::kDemand, occasion.point), z);
  for (PipeNumbers& pipe : numbers.pipes) {
    pipe.length_m *= stretch;
    pipe.demand_m3_per_s *= thirst;
    for (std::size_t u = 0; u < unknowns_.size(); ++u) {
      if (unknowns_[u].number.kind != FittedKind::kWall || unknowns_[u].wall_m_per_s != pipe.wall_m_per_s)
        continue;
      pipe.wall_m_per_s *= FactorOf(static_cast<int>(u), z);
      break;
    }
  }
  const double flow = FactorOf(Find(FittedKind::kFlow, occasion.point), z);
  numbers.flow_m3_per_s *= flow;
  const double own_flow = FactorOf(Find(FittedKind::kFlushFlow, NumberIn(occasions_, occasion)), z);
  const ReachModel model = ModelReach(numbers, {}, options_.most_taps);
  const ShareCurve curve(model.branch, DriveOfOccasion(occasion, model, options_.zone, own_flow, flow),
                         model.kinetics);
  std::vector<double> shares;
  for (const OccasionReading& reading : occasion.readings) {
    double sum = 0;
    for (const ShareQuery& query : reading.queries) sum += curve.ShareAt(query);
    shares.push_back(reading.in_main ? 1 : sum / static_cast<double>(reading.queries.size()));
  }
  return shares;
}

// The unknowns that move an occasion's water, apart from what enters.
std::vector<int> FitModel::MoversOf(const FitOccasion& occasion) const {
  std::vector<int> movers;
  const auto add = [&](int unknown) {
    if (unknown >= 0) movers.push_back(unknown);
  };
  add(Find(FittedKind::kBulk, 0));
  for (std::size_t u = 0; u < unknowns_.size(); ++u) {
    const auto& pipes = occasion.numbers.pipes;
    if (unknowns_[u].number.kind == FittedKind::kWall &&
        std::any_of(pipes.begin(), pipes.end(),
                    [&](const PipeNumbers& p) { return p.wall_m_per_s == unknowns_[u].wall_m_per_s; }))
      add(static_cast<int>(u));
  }
  add(Find(FittedKind::kVolume, occasion.point));
  add(Find(FittedKind::kDemand, occasion.point));
  if (!occasion.runs.empty()) add(Find(FittedKind::kFlow, occasion.point));
  add(Find(FittedKind::kFlushFlow, NumberIn(occasions_, occasion)));
  return movers;
}

std::vector<FitModel::Predicted> FitModel::Predict(const FitOccasion& occasion, std::span<const double> z,
                                                   bool with_slopes) const {
  const int upstream = Find(FittedKind::kUpstream, occasion.point);
  const int that_day = Find(FittedKind::kMainThatDay, NumberIn(occasions_, occasion));
  const double enters = occasion.numbers.upstream_mg_per_l * FactorOf(upstream, z) * FactorOf(that_day, z);
  std::vector<Predicted> predicted;
  for (const double share : Shares(occasion, z)) predicted.push_back({enters * share, {}});
  if (!with_slopes) return predicted;
  for (const int scale : {upstream, that_day}) {
    if (scale < 0) continue;
    const double log_sd = unknowns_[static_cast<std::size_t>(scale)].number.before_log_sd;
    for (Predicted& one : predicted) one.slopes.emplace_back(scale, log_sd * one.mg_per_l);
  }
  std::vector<double> moved(z.begin(), z.end());
  for (const int mover : MoversOf(occasion)) {
    double& here = moved[static_cast<std::size_t>(mover)];
    const double middle = here;
    here = middle + kStep;
    const std::vector<double> above = Shares(occasion, moved);
    here = middle - kStep;
    const std::vector<double> below = Shares(occasion, moved);
    here = middle;
    for (std::size_t r = 0; r < predicted.size(); ++r) {
      if (above[r] != below[r])
        predicted[r].slopes.emplace_back(mover, enters * (above[r] - below[r]) / (2 * kStep));
    }
  }
  return predicted;
}

std::vector<double> FitModel::PredictAll(std::span<const double> z) const {
  std::vector<double> all;
  for (const FitOccasion& occasion : occasions_) {
    for (const Predicted& one : Predict(occasion, z, false)) all.push_back(one.mg_per_l);
  }
  return all;
}

LeastSquaresProblem FitModel::Problem() const {
  LeastSquaresProblem problem;
  problem.unknowns = unknowns_.size();
  problem.residuals = readings_ + unknowns_.size();
  problem.residuals_at = [this](std::span<const double> z, std::span<double> r) {
    std::size_t row = 0;
    for (const FitOccasion& occasion : occasions_) {
      const std::vector<Predicted> predicted = Predict(occasion, z, false);
      for (std::size_t i = 0; i < predicted.size(); ++i)
        r[row++] = ResidualOf(occasion.readings[i], predicted[i].mg_per_l, options_.nu).value;
    }
    std::copy(z.begin(), z.end(), r.begin() + static_cast<std::ptrdiff_t>(row));
  };
  problem.jacobian_at = [this](std::span<const double> z) {
    std::vector<JacobianEntry> entries;
    int row = 0;
    for (const FitOccasion& occasion : occasions_) {
      const std::vector<Predicted> predicted = Predict(occasion, z, true);
      for (std::size_t i = 0; i < predicted.size(); ++i, ++row) {
        const double slope = ResidualOf(occasion.readings[i], predicted[i].mg_per_l, options_.nu).slope;
        for (const auto& [unknown, by_z] : predicted[i].slopes)
          entries.push_back({row, unknown, slope * by_z});
      }
    }
    for (int u = 0; u < static_cast<int>(z.size()); ++u) entries.push_back({row + u, u, 1});
    return entries;
  };
  return problem;
}

double FitModel::MisfitOf(std::size_t point, std::span<const double> z) const {
  double sum = 0;
  for (const FitOccasion& occasion : occasions_) {
    if (occasion.point != point) continue;
    const std::vector<Predicted> predicted = Predict(occasion, z, false);
    for (std::size_t i = 0; i < predicted.size(); ++i) {
      const double r = ResidualOf(occasion.readings[i], predicted[i].mg_per_l, options_.nu).value;
      sum += r * r;
    }
  }
  for (std::size_t u = 0; u < unknowns_.size(); ++u) {
    if (unknowns_[u].point == point) sum += z[u] * z[u];
  }
  return sum;
}

}  // namespace lastreach
