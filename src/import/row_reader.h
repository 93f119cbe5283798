#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "import/import.h"

namespace lastreach {

// A number of one cell in SI (mg/L and degrees Celsius for concentration and temperature).
struct MeasuredCell {
  double si = 0;
  Origin origin;
};

// One row on its way to a record: reads cells by field and keeps the account of what did not come in.
class RowReader {
 public:
  RowReader(const TableRow& row, const Preview& preview, const ImportContext& context, ImportResult& result)
      : row_(row), preview_(preview), context_(context), result_(result) {}

  int line() const { return row_.line; }
  const ImportContext& context() const { return context_; }
  bool rejected() const { return rejected_; }

  // The whole row does not come in. Only the first reason is kept.
  void Reject(std::string_view field, const std::string& reason);
  // The same with a listing made before; its row as written is filled in.
  void RejectAs(RejectedRow listing);
  // The row comes in without this cell.
  void LeaveOut(std::string_view field, const std::string& reason);
  void Note(const std::string& text);

  bool HasColumn(std::string_view field) const { return preview_.Find(field) != nullptr; }
  // The cell without blanks at its ends; empty where there is none.
  std::string Text(std::string_view field) const;
  // The same, empty too where it says that nobody knows.
  std::string Known(std::string_view field) const;
  // Cell and unit as written: "60 gpm" for 60 under "Flow (gpm)".
  std::string Written(std::string_view field) const;

  std::string Who() const;

  // A number with the unit in the cell, or else the column's. None, and listed as left out, if it is no
  // number, 0 where `zero_is_unknown`, or outside [least, most]; none and not listed if the cell is blank or
  // unknown.
  struct Bounds {
    double least = 0;
    double most = 0;
    bool zero_is_unknown = false;
  };
  std::optional<MeasuredCell> Measure(std::string_view field, const Bounds& bounds);
  std::optional<Sourced<int>> Count(std::string_view field, int most);
  std::optional<double> Number(std::string_view field, double least, double most);

  // The day in a column of dates. ERROR: as ParseDay, or a day past tomorrow or before 1990.
  Result<ParsedDay> Day(std::string_view field) const;

  // The same, whenever it is.
  Result<ParsedDay> AnyDay(std::string_view field) const;

  Origin OriginOf(bool about, const std::string& note) const;

  const ColumnChoice* ColumnOf(std::string_view field) const { return preview_.Find(field); }

  // How the row or that cell of it would be listed.
  RejectedRow Listing(std::string_view field, const std::string& reason) const;

 private:
  const TableRow& row_;
  const Preview& preview_;
  const ImportContext& context_;
  ImportResult& result_;
  bool rejected_ = false;
};

// Points by code as people write it: "fp 14" finds FP-014 if nothing else could be meant, and so does the
// street where it stands.
class PointFinder {
 public:
  explicit PointFinder(const std::vector<FlushPoint>& points);

  struct Found {
    PointCode code;
    std::string note;  // how it was found, if not by its code
  };
  // ERROR: kNotFound.
  Result<Found> Find(const std::string& text) const;
  // By its code only; none if there is no such point or more than one could be meant.
  std::optional<Found> FindByCode(const std::string& text) const;

 private:
  std::map<std::string, PointCode> by_code_;
  std::map<std::string, std::vector<PointCode>> by_loose_code_;
  std::map<std::string, std::vector<PointCode>> by_place_;
};

// Lower case, no blanks or signs, no leading zeros in numbers: "FP-014" -> "fp14".
std::string LooseCode(std::string_view code);

// Words under a column that stand for a summary: "Total", "Average", "Max".
bool IsSummaryWord(std::string_view text);

}  // namespace lastreach
