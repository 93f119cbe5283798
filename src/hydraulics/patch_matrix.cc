#include "hydraulics/patch_matrix.h"

#include <algorithm>
#include <limits>

namespace lastreach {
namespace {

constexpr uint32_t kNone = std::numeric_limits<uint32_t>::max();

}  // namespace

void PatchMatrix::LayOut(uint32_t unknowns, std::span<const LinkEnds> links) {
  unknowns_ = unknowns;
  links_.assign(links.begin(), links.end());
  start_.assign(unknowns + 1, 0);
  const auto joins = [&](const LinkEnds& link) {
    return link.first < unknowns && link.second < unknowns && link.first != link.second;
  };
  for (const LinkEnds& link : links_) {
    if (joins(link)) ++start_[std::max(link.first, link.second) + 1];
  }
  for (uint32_t i = 0; i < unknowns; ++i) start_[i + 1] += start_[i];
  column_.resize(start_.back());
  link_.resize(start_.back());
  count_.assign(start_.begin(), start_.end() - 1);
  for (uint32_t i = 0; i < links_.size(); ++i) {
    if (!joins(links_[i])) continue;
    const auto [low, high] =
        std::pair(std::min(links_[i].first, links_[i].second), std::max(links_[i].first, links_[i].second));
    const uint32_t at = count_[high]++;
    column_[at] = low;
    link_[at] = i;
  }
  FindTree();
}

// The elimination tree, and how many entries each column of L has.
void PatchMatrix::FindTree() {
  parent_.assign(unknowns_, kNone);
  seen_.assign(unknowns_, kNone);
  count_.assign(unknowns_, 0);
  for (uint32_t row = 0; row < unknowns_; ++row) {
    seen_[row] = row;
    for (uint32_t k = start_[row]; k < start_[row + 1]; ++k) {
      for (uint32_t at = column_[k]; seen_[at] != row; at = parent_[at]) {
        if (parent_[at] == kNone) parent_[at] = row;
        ++count_[at];
        seen_[at] = row;
      }
    }
  }
  begin_.assign(unknowns_ + 1, 0);
  for (uint32_t i = 0; i < unknowns_; ++i) begin_[i + 1] = begin_[i] + count_[i];
  row_.resize(begin_.back());
  value_.resize(begin_.back());
  work_.assign(unknowns_, 0);
  inverse_.resize(unknowns_);
  diagonal_.resize(unknowns_);
  stack_.resize(unknowns_);
  pattern_.resize(unknowns_);
}

bool PatchMatrix::Factor(std::span<const double> conductance) {
  std::fill(diagonal_.begin(), diagonal_.end(), 0);
  for (size_t i = 0; i < links_.size(); ++i) {
    const auto [a, b] = links_[i];
    if (a == b) continue;
    if (a < unknowns_) diagonal_[a] += conductance[i];
    if (b < unknowns_) diagonal_[b] += conductance[i];
  }
  std::fill(seen_.begin(), seen_.end(), kNone);
  std::fill(count_.begin(), count_.end(), 0);
  for (uint32_t row = 0; row < unknowns_; ++row) {
    // Columns of this row of L, each after those it depends on.
    uint32_t top = unknowns_;
    seen_[row] = row;
    for (uint32_t k = start_[row]; k < start_[row + 1]; ++k) {
      work_[column_[k]] -= conductance[link_[k]];
      uint32_t length = 0;
      for (uint32_t at = column_[k]; seen_[at] != row; at = parent_[at]) {
        stack_[length++] = at;
        seen_[at] = row;
      }
      while (length > 0) pattern_[--top] = stack_[--length];
    }
    double pivot = diagonal_[row];
    for (; top < unknowns_; ++top) {
      const uint32_t column = pattern_[top];
      const double value = work_[column];
      work_[column] = 0;
      const uint32_t end = begin_[column] + count_[column];
      for (uint32_t k = begin_[column]; k < end; ++k) work_[row_[k]] -= value_[k] * value;
      const double entry = value * inverse_[column];
      pivot -= entry * value;
      row_[end] = row;
      value_[end] = entry;
      ++count_[column];
    }
    if (!(pivot > 0)) {
      std::fill(work_.begin(), work_.end(), 0);
      return false;
    }
    inverse_[row] = 1 / pivot;
  }
  return true;
}

void PatchMatrix::Solve(std::span<double> x) const {
  for (uint32_t column = 0; column < unknowns_; ++column) {
    for (uint32_t k = begin_[column]; k < begin_[column + 1]; ++k) x[row_[k]] -= value_[k] * x[column];
  }
  for (uint32_t column = unknowns_; column-- > 0;) {
    double sum = x[column] * inverse_[column];
    for (uint32_t k = begin_[column]; k < begin_[column + 1]; ++k) sum -= value_[k] * x[row_[k]];
    x[column] = sum;
  }
}

}  // namespace lastreach
