#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "quality/network_transport.h"
#include "quality/transport_frame.h"
#include "quality/water_piece.h"

namespace lastreach {

// What passed each node since the span began. Lowest and greatest of the disinfectant are kept as logarithms;
// of the time of entering, the age is.
template <class C>
class SpanRecord {
 public:
  void Resize(uint32_t nodes) { seen_.assign(nodes, {}); }
  void Begin(double now_s) {
    begin_s_ = now_s;
    seen_.assign(seen_.size(), {});
  }

  // `birth` is the place of the time of entering among the values; C::kCount for none.
  void Add(uint32_t node, const NodeStretch<C>& stretch, double period_begin_s, std::size_t birth) {
    Seen& seen = seen_[node];
    for (std::size_t k = 0; k < C::kCount; ++k) {
      double first = stretch.first[k];
      double last = stretch.last[k];
      if (k == birth) {
        first = period_begin_s + stretch.begin_s - first;
        last = period_begin_s + stretch.begin_s + stretch.seconds - last;
      }
      // Not std::minmax: its references to temporaries would dangle.
      seen[k].lowest = std::min(seen[k].lowest, std::min(first, last));
      seen[k].greatest = std::max(seen[k].greatest, std::max(first, last));
      const bool is_log = C::kDisinfectant && k == C::kLog;
      seen[k].sum += stretch.seconds * (is_log ? stretch.mean_mg_per_l : (first + last) / 2);
    }
  }

  SpanStatistics Statistics(std::size_t k, double now_s, const TransportFrame& frame) {
    for (std::vector<double>* column : {&lowest_, &greatest_, &mean_}) column->assign(seen_.size(), 0);
    const bool is_log = C::kDisinfectant && k == C::kLog;
    const double span_s = now_s - begin_s_;
    for (uint32_t n = 0; n < seen_.size(); ++n) {
      const One& one = seen_[n][k];
      const uint32_t node = frame.node_in_network[n];
      lowest_[node] = is_log ? ReadLn(one.lowest) : one.lowest;
      greatest_[node] = is_log ? ReadLn(one.greatest) : one.greatest;
      mean_[node] = one.sum / span_s;
    }
    return {lowest_, greatest_, mean_};
  }

  static double ReadLn(double ln) { return ln <= kNoneLn / 2 ? 0 : std::exp(ln); }

 private:
  struct One {
    double lowest = std::numeric_limits<double>::infinity();
    double greatest = -std::numeric_limits<double>::infinity();
    double sum = 0;
  };
  using Seen = std::array<One, C::kCount>;
  double begin_s_ = 0;
  std::vector<Seen> seen_;
  std::vector<double> lowest_, greatest_, mean_;
};

}  // namespace lastreach
