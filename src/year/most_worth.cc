#include <algorithm>
#include <iterator>
#include <vector>

#include "year/drought.h"

namespace lastreach {
namespace {

// A sum of items that no other sum beats in both weight and worth, as the item last put to another sum.
struct Sum {
  double weight = 0;
  double worth = 0;
  size_t before = 0;  // index into all sums; of the empty one, itself
  size_t item = 0;
};

class Packer {
 public:
  Packer(const std::vector<double>& weights, const std::vector<double>& worths, double capacity)
      : weights_(weights), worths_(worths), capacity_(capacity) {
    for (size_t item = 0; item < weights.size(); ++item) {
      if (worths[item] > 0) order_.push_back(item);
    }
    // Most worth a weight first; cross-multiplied, as a weight may be 0.
    std::stable_sort(order_.begin(), order_.end(),
                     [&](size_t a, size_t b) { return worths_[a] * weights_[b] > worths_[b] * weights_[a]; });
    for (const size_t item : order_) {
      weight_before_.push_back(weight_before_.back() + weights[item]);
      worth_before_.push_back(worth_before_.back() + worths[item]);
    }
  }

  std::vector<bool> Pack() {
    all_ = {Sum{}};
    std::vector<size_t> front = {0};  // rising weight and worth
    for (size_t i = 0; i < order_.size(); ++i) front = WithItem(front, i);
    const size_t best = front.back();
    std::vector<bool> taken(weights_.size(), false);
    for (size_t s = best; s != 0; s = all_[s].before) taken[all_[s].item] = true;
    return taken;
  }

 private:
  // The sums so far with and without the i-th item that may yet be the best.
  std::vector<size_t> WithItem(const std::vector<size_t>& front, size_t i) {
    const size_t item = order_[i];
    std::vector<size_t> with, merged, kept;
    for (const size_t s : front) {
      const Sum sum{all_[s].weight + weights_[item], all_[s].worth + worths_[item], s, item};
      if (sum.weight > capacity_) break;
      if (!MayBeBest(sum, i + 1)) continue;
      with.push_back(all_.size());
      all_.push_back(sum);
    }
    std::merge(front.begin(), front.end(), with.begin(), with.end(), std::back_inserter(merged),
               [&](size_t a, size_t b) {
                 if (all_[a].weight != all_[b].weight) return all_[a].weight < all_[b].weight;
                 return all_[a].worth > all_[b].worth;
               });
    double most_worth = -1;
    for (const size_t s : merged) {
      if (all_[s].worth <= most_worth || !MayBeBest(all_[s], i + 1)) continue;
      most_worth = all_[s].worth;
      kept.push_back(s);
    }
    return kept;
  }

  // Whether a sum can come up to the best known with items from the i-th on, the last of them split. What it
  // comes to with whole ones is itself known to be possible.
  bool MayBeBest(const Sum& sum, size_t i) {
    constexpr double kRounding = 1e-12;
    const double room = capacity_ - sum.weight;
    const auto first = weight_before_.begin() + static_cast<std::ptrdiff_t>(i);
    const auto past = std::upper_bound(first, weight_before_.end(), *first + room);
    const auto whole = static_cast<size_t>(past - weight_before_.begin()) - 1;
    const double worth = sum.worth + worth_before_[whole] - worth_before_[i];
    best_known_ = std::max(best_known_, worth * (1 - kRounding));
    double most = worth;
    if (whole < order_.size()) {
      const double left = room - (weight_before_[whole] - weight_before_[i]);
      most += worths_[order_[whole]] * std::max(0.0, left) / weights_[order_[whole]];
    }
    return most * (1 + kRounding) >= best_known_;
  }

  const std::vector<double>& weights_;
  const std::vector<double>& worths_;
  double capacity_;
  std::vector<size_t> order_;
  std::vector<double> weight_before_ = {0}, worth_before_ = {0};  // of the first items in order
  std::vector<Sum> all_;
  double best_known_ = 0;
};

}  // namespace

std::vector<bool> MostWorth(const std::vector<double>& weights, const std::vector<double>& worths,
                            double capacity) {
  if (capacity < 0) return std::vector<bool>(weights.size(), false);
  return Packer(weights, worths, capacity).Pack();
}

}  // namespace lastreach
