#include "quality/work_order.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <vector>

namespace lastreach {
namespace {

// Every link that flows goes forward in the order, but for those said to be late.
void ExpectInOrder(const WorkOrder& order, const std::vector<uint32_t>& from, const std::vector<uint32_t>& to,
                   const std::vector<double>& flow) {
  std::vector<uint32_t> place(order.nodes().size());
  std::vector<char> seen(place.size(), 0);
  for (uint32_t i = 0; i < place.size(); ++i) {
    place[order.nodes()[i]] = i;
    seen[order.nodes()[i]] = 1;
  }
  for (const char one : seen) ASSERT_EQ(one, 1);
  std::vector<char> late(from.size(), 0);
  for (const uint32_t l : order.late_links()) late[l] = 1;
  for (std::size_t l = 0; l < from.size(); ++l) {
    if (flow[l] == 0 || late[l] != 0) continue;
    const bool forward = flow[l] > 0;
    ASSERT_LT(place[forward ? from[l] : to[l]], place[forward ? to[l] : from[l]]) << "link " << l;
  }
}

TEST(WorkOrder, HoldsWhileFlowsTurn) {
  for (uint32_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    std::mt19937 engine(seed);
    const auto random = [&] { return static_cast<uint32_t>(engine()); };
    const uint32_t nodes = 5 + random() % 300;
    const uint32_t links = nodes + random() % nodes;
    std::vector<uint32_t> from, to;
    for (uint32_t l = 0; l < links; ++l) {
      from.push_back(random() % nodes);
      to.push_back((from.back() + 1 + random() % (nodes - 1)) % nodes);
    }
    WorkOrder order(nodes, from, to, std::vector<double>(links, 1));
    std::vector<double> head(nodes), flow(links);
    for (double& value : head) value = static_cast<double>(random() % 1000);
    for (int step = 0; step < 30; ++step) {
      for (int moved = 0; moved < 3; ++moved) head[random() % nodes] = static_cast<double>(random() % 1000);
      for (uint32_t l = 0; l < links; ++l) flow[l] = head[from[l]] - head[to[l]];
      order.Follow(flow);
      EXPECT_TRUE(order.late_links().empty());
      ExpectInOrder(order, from, to, flow);
    }
    // Flows at random go in rings: as few links as it takes are late, but those that are not are in order.
    for (int step = 0; step < 10; ++step) {
      for (double& value : flow) value = static_cast<double>(random() % 3) - 1;
      order.Follow(flow);
      ExpectInOrder(order, from, to, flow);
    }
    for (uint32_t l = 0; l < links; ++l) flow[l] = head[from[l]] - head[to[l]];
    order.Follow(flow);
    EXPECT_TRUE(order.late_links().empty());
    ExpectInOrder(order, from, to, flow);
  }
}

// Of a ring, the link water takes longest to pass.
TEST(WorkOrder, LeavesTheSlowestLinkOfARingOut) {
  WorkOrder order(3, {0, 1, 2}, {1, 2, 0}, {1, 5, 0});
  std::vector<double> flow{1, 1, 1};
  order.Follow(flow);
  ASSERT_EQ(order.late_links().size(), 1u);
  EXPECT_EQ(order.late_links()[0], 1u);
}

// A long way with a ring at its head and another in its middle, its links in any order: all that is not of a
// ring is in order, and each ring loses one link.
TEST(WorkOrder, ARingHoldsNothingElseBack) {
  constexpr uint32_t kNodes = 2000;
  std::vector<uint32_t> from, to;
  for (uint32_t i = 0; i + 1 < kNodes; ++i) {
    from.push_back(i);
    to.push_back(i + 1);
  }
  for (const uint32_t back_to : {0U, 1000U}) {
    from.push_back(back_to + 3);
    to.push_back(back_to);
  }
  std::vector<uint32_t> number(kNodes);
  std::iota(number.begin(), number.end(), 0U);
  std::shuffle(number.begin(), number.end(), std::mt19937(1));
  for (uint32_t& node : from) node = number[node];
  for (uint32_t& node : to) node = number[node];
  WorkOrder order(kNodes, from, to, std::vector<double>(from.size(), 1));
  std::vector<double> flow(from.size(), 1);
  order.Follow(flow);
  EXPECT_EQ(order.late_links().size(), 2u);
  ExpectInOrder(order, from, to, flow);
}

// Whether the order is mended or made anew is a matter of time alone.
TEST(WorkOrder, HoldsWhetherFewLinksTurnOrMany) {
  constexpr uint32_t kSide = 60;
  std::vector<uint32_t> from, to;
  for (uint32_t i = 0; i < kSide * kSide; ++i) {
    if (i % kSide + 1 < kSide) from.push_back(i), to.push_back(i + 1);
    if (i / kSide + 1 < kSide) from.push_back(i), to.push_back(i + kSide);
  }
  std::mt19937 engine(7);
  std::vector<double> head(std::size_t{kSide} * kSide), flow(from.size());
  for (std::size_t i = 0; i < head.size(); ++i) head[i] = static_cast<double>(i);
  WorkOrder order(kSide * kSide, from, to, std::vector<double>(from.size(), 1));
  uint64_t mended = 0, made_anew = 0;
  for (int step = 0; step < 60; ++step) {
    const uint64_t repairs = order.repairs();
    const int moved = step % 3 == 0 ? 1 : step % 3 == 1 ? 30 : 1000;
    for (int i = 0; i < moved; ++i)
      head[engine() % head.size()] = static_cast<double>(engine() % head.size());
    for (std::size_t l = 0; l < flow.size(); ++l) flow[l] = head[from[l]] - head[to[l]];
    order.Follow(flow);
    ExpectInOrder(order, from, to, flow);
    EXPECT_TRUE(order.late_links().empty());
    ++(order.repairs() > repairs ? mended : made_anew);
  }
  EXPECT_GT(mended, 10u);
  EXPECT_GT(made_anew, 10u);
}

// What goes round links that hold nothing is taken out, period after period, and what flows through stays.
TEST(WorkOrder, TakesFlowRoundARingOfNoVolumeOut) {
  WorkOrder order(3, {0, 1, 2}, {1, 2, 0}, {0, 0, 0});
  for (int period = 0; period < 3; ++period) {
    std::vector<double> flow{3, 2, 2};
    order.Follow(flow);
    EXPECT_EQ(flow, (std::vector<double>{1, 0, 0}));
    EXPECT_TRUE(order.late_links().empty());
  }
}

}  // namespace
}  // namespace lastreach
