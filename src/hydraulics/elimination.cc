#include "hydraulics/elimination.h"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCore>
#include <algorithm>
#include <limits>

namespace lastreach {
namespace {

constexpr uint32_t kNone = std::numeric_limits<uint32_t>::max();

// The nodes each node is joined to, in compressed rows: without fixed nodes and rings, doubles left in.
struct Neighbours {
  std::vector<uint32_t> start, to;
  Neighbours(uint32_t unknowns, std::span<const LinkEnds> links) : start(unknowns + 1, 0) {
    const auto counts = [&](const LinkEnds& link) {
      return link.first < unknowns && link.second < unknowns && link.first != link.second;
    };
    for (const LinkEnds& link : links) {
      if (!counts(link)) continue;
      ++start[link.first + 1];
      ++start[link.second + 1];
    }
    for (size_t i = 1; i < start.size(); ++i) start[i] += start[i - 1];
    to.resize(start.back());
    std::vector<uint32_t> next(start.begin(), start.end() - 1);
    for (const LinkEnds& link : links) {
      if (!counts(link)) continue;
      to[next[link.first]++] = link.second;
      to[next[link.second]++] = link.first;
    }
  }
  std::span<const uint32_t> Of(uint32_t node) const {
    return {to.data() + start[node], to.data() + start[node + 1]};
  }
};

// The elimination tree: the first row below each column of L. `number`: of nodes, in the order of
// elimination. SOURCE: Liu, ACM Trans. Math. Softw. 12(2), 127-148, 1986 (from memory).
std::vector<uint32_t> TreeOf(const Neighbours& neighbours, std::span<const uint32_t> number,
                             std::span<const uint32_t> node_at) {
  const auto count = static_cast<uint32_t>(number.size());
  std::vector<uint32_t> parent(count, kNone), highest(count, kNone);
  for (uint32_t row = 0; row < count; ++row) {
    for (const uint32_t node : neighbours.Of(node_at[row])) {
      for (uint32_t column = number[node]; column < row;) {
        const uint32_t next = highest[column];
        highest[column] = row;
        if (next == kNone) parent[column] = row;
        if (next == kNone || next == row) break;
        column = next;
      }
    }
  }
  return parent;
}

// Each node after its children, children in the order of their numbers.
std::vector<uint32_t> Postorder(std::span<const uint32_t> parent) {
  const auto count = static_cast<uint32_t>(parent.size());
  std::vector<uint32_t> first_child(count, kNone), sibling(count, kNone), place(count);
  std::vector<uint32_t> roots;
  for (uint32_t i = count; i-- > 0;) {
    if (parent[i] == kNone) {
      roots.push_back(i);
      continue;
    }
    sibling[i] = first_child[parent[i]];
    first_child[parent[i]] = i;
  }
  uint32_t next = 0;
  for (auto root = roots.rbegin(); root != roots.rend(); ++root) {
    std::vector<uint32_t> stack = {*root};
    while (!stack.empty()) {
      const uint32_t node = stack.back();
      const uint32_t child = first_child[node];
      if (child != kNone) {
        first_child[node] = sibling[child];
        stack.push_back(child);
        continue;
      }
      place[node] = next++;
      stack.pop_back();
    }
  }
  return place;
}

// Rows below the diagonal of each column of L.
std::vector<std::vector<uint32_t>> PatternOf(const Neighbours& neighbours, std::span<const uint32_t> parent) {
  const auto count = static_cast<uint32_t>(parent.size());
  std::vector<std::vector<uint32_t>> rows(count);
  std::vector<uint32_t> seen(count, kNone);
  std::vector<std::vector<uint32_t>> children(count);
  for (uint32_t i = 0; i < count; ++i) {
    if (parent[i] != kNone) children[parent[i]].push_back(i);
  }
  for (uint32_t column = 0; column < count; ++column) {
    const auto add = [&](std::span<const uint32_t> some) {
      for (const uint32_t row : some) {
        if (row <= column || seen[row] == column) continue;
        seen[row] = column;
        rows[column].push_back(row);
      }
    };
    add(neighbours.Of(column));
    for (const uint32_t child : children[column]) add(rows[child]);
    std::sort(rows[column].begin(), rows[column].end());
  }
  return rows;
}

// Columns whose rows are alike, or nearly: a child's last column joined to its parent's where few zeros come
// in.
std::vector<Front> FrontsOf(std::span<const uint32_t> parent,
                            const std::vector<std::vector<uint32_t>>& rows) {
  // More zeros than these, of a column, cost more than a front of its own.
  constexpr size_t kSmall = 8;
  constexpr double kShareAllowed = 0.12;
  std::vector<Front> fronts;
  const auto count = static_cast<uint32_t>(parent.size());
  for (uint32_t column = 0; column < count; ++column) {
    Front front{column, column + 1, 0, static_cast<uint32_t>(rows[column].size()), 0, 0};
    while (!fronts.empty()) {
      const Front& child = fronts.back();
      const uint32_t up = parent[child.end - 1];
      if (up == kNone || up >= front.end) break;
      const size_t height = child.Width() + front.Height();
      const size_t zeros = height - child.Height();
      if (static_cast<double>(zeros) > kShareAllowed * static_cast<double>(height) && height > kSmall) break;
      front.begin = child.begin;
      fronts.pop_back();
    }
    fronts.push_back(front);
  }
  return fronts;
}

// Where every front's rows stand in its parent, and how much room all need.
void Arrange(const std::vector<std::vector<uint32_t>>& rows, Elimination& plan) {
  std::vector<uint64_t> on_stack;
  uint64_t top = 0;
  for (uint32_t i = 0; i < plan.fronts.size(); ++i) {
    Front& front = plan.fronts[i];
    for (uint32_t column = front.begin; column < front.end; ++column) plan.front_of[column] = i;
    front.row_begin = static_cast<uint32_t>(plan.rows.size());
    const std::vector<uint32_t>& below = rows[front.end - 1];
    plan.rows.insert(plan.rows.end(), below.begin(), below.end());
    front.panel_begin = plan.panel_size;
    plan.panel_size += uint64_t{front.Width()} * front.Height();
    plan.tallest = std::max(plan.tallest, front.Height());
  }
  plan.in_parent.resize(plan.rows.size());
  for (const Front& front : plan.fronts) {
    if (front.rows_below == 0) continue;
    Front& parent = plan.fronts[plan.front_of[plan.rows[front.row_begin]]];
    ++parent.children;
    uint32_t at = parent.row_begin;
    for (uint32_t k = front.row_begin; k < front.row_begin + front.rows_below; ++k) {
      const uint32_t row = plan.rows[k];
      if (row < parent.end) {
        plan.in_parent[k] = row - parent.begin;
        continue;
      }
      while (plan.rows[at] != row) ++at;
      plan.in_parent[k] = parent.Width() + at - parent.row_begin;
    }
  }
  for (const Front& front : plan.fronts) {
    const uint64_t own = uint64_t{front.rows_below} * front.rows_below;
    plan.stack_size = std::max(plan.stack_size, top + own);
    for (uint32_t child = 0; child < front.children; ++child) {
      top -= on_stack.back();
      on_stack.pop_back();
    }
    if (front.rows_below == 0) continue;
    on_stack.push_back(own);
    top += own;
  }
}

}  // namespace

Elimination PlanElimination(uint32_t unknowns, std::span<const LinkEnds> links) {
  const Neighbours neighbours(unknowns, links);
  std::vector<uint32_t> same(unknowns);
  for (uint32_t i = 0; i < unknowns; ++i) same[i] = i;
  const std::vector<uint32_t> parent = TreeOf(neighbours, same, same);
  const std::vector<std::vector<uint32_t>> rows = PatternOf(neighbours, parent);
  Elimination plan;
  plan.front_of.resize(unknowns);
  plan.fronts = FrontsOf(parent, rows);
  Arrange(rows, plan);
  return plan;
}

std::vector<uint32_t> EliminationOrder(uint32_t unknowns, std::span<const LinkEnds> links) {
  if (unknowns == 0) return {};
  const Neighbours neighbours(unknowns, links);
  std::vector<Eigen::Triplet<double, int>> entries;
  for (uint32_t i = 0; i < unknowns; ++i) {
    entries.emplace_back(i, i, 1.0);
    for (const uint32_t to : neighbours.Of(i)) entries.emplace_back(i, to, 1.0);
  }
  Eigen::SparseMatrix<double> matrix(unknowns, unknowns);
  matrix.setFromTriplets(entries.begin(), entries.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> order;
  Eigen::AMDOrdering<int>()(matrix, order);
  std::vector<uint32_t> node_at(unknowns), number(unknowns);
  for (uint32_t i = 0; i < unknowns; ++i) {
    node_at[i] = static_cast<uint32_t>(order.indices()[i]);
    number[node_at[i]] = i;
  }
  const std::vector<uint32_t> place = Postorder(TreeOf(neighbours, number, node_at));
  for (uint32_t i = 0; i < unknowns; ++i) number[i] = place[number[i]];
  return number;
}

}  // namespace lastreach
