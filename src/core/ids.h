#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <utility>

namespace lastreach {

// A row number of one table, which cannot be mixed up with that of another:
// `VisitId v = SampleId{3};` does not compile. Zero means "not stored yet".
template <typename Tag>
struct RowId {
  int64_t number = 0;
  friend auto operator<=>(const RowId&, const RowId&) = default;
};

using SettingsId = RowId<struct SettingsTag>;
using SampleId = RowId<struct SampleTag>;
using MeterReadId = RowId<struct MeterReadTag>;
using VisitId = RowId<struct VisitTag>;
using LimitId = RowId<struct LimitTag>;
using TripId = RowId<struct TripTag>;
using FlushRunId = RowId<struct FlushRunTag>;
using FlowTestId = RowId<struct FlowTestTag>;
using TestFlushId = RowId<struct TestFlushTag>;
using ByproductId = RowId<struct ByproductTag>;

// The code people write on lids and lists: "FP-014". Compared as typed, kept as typed.
class PointCode {
 public:
  PointCode() = default;
  explicit PointCode(std::string text) : text_(std::move(text)) {}
  const std::string& text() const { return text_; }
  bool empty() const { return text_.empty(); }
  friend auto operator<=>(const PointCode&, const PointCode&) = default;

 private:
  std::string text_;
};

}  // namespace lastreach
