#pragma once

#include <memory>
#include <string>
#include <vector>

#include "core/ids.h"
#include "store/columns.h"
#include "store/database.h"
#include "store/project.h"

namespace lastreach {

// SQL for the rows of an append-only table that no later row corrects; of those, all that meet `filter`, in
// `order`.
inline std::string CurrentRows(const std::string& table, const std::string& filter,
                               const std::string& order) {
  return "SELECT * FROM " + table + " WHERE id NOT IN (SELECT replaces FROM " + table +
         " WHERE replaces IS NOT NULL)" + (filter.empty() ? "" : " AND " + filter) + " ORDER BY " + order;
}
inline constexpr const char* kAtPoint = "point = ?";
// A reading without a time of day stands at the end of its day.
inline constexpr const char* kByDay = "day, coalesce(minute_of_day, 1440), id";

class Project::Impl {
 public:
  explicit Impl(std::unique_ptr<Database> opened) : database(std::move(opened)) {}

  std::unique_ptr<Database> database;

  // ERROR: kNotFound unless the project has the point.
  Status RequirePoint(const PointCode& code) const {
    const auto found = database->QueryInt("SELECT fid FROM flush_points WHERE code = ?", {code.text()});
    if (!found.ok()) return found.error();
    if (found->has_value()) return Ok();
    return NotFound("the project has no such flush point", {database->path(), {}, "code", code.text()});
  }

  // Adds a record of a point to an append-only table, as a correction of row `replaces` unless that is 0.
  Result<int64_t> AddRecord(const std::string& table, const PointCode& point, Columns columns,
                            int64_t replaces) {
    if (Status known = RequirePoint(point); !known.ok()) return known.error();
    return AddRowOf(table, {"point", point.text()}, std::move(columns), replaces);
  }

  // The same for what is no point's: a correction must agree with the row it names in column `owner`.
  Result<int64_t> AddRowOf(const std::string& table, const std::pair<std::string, std::string>& owner,
                           Columns columns, int64_t replaces) {
    if (replaces != 0) {
      const auto old = database->QueryInt(
          "SELECT id FROM " + table + " WHERE id = ? AND " + owner.first + " = ?", {replaces, owner.second});
      if (!old.ok()) return old.error();
      if (!old->has_value()) {
        return NotFound("there is no record of that number at " + owner.second + " to correct",
                        {database->path(), {}, table, std::to_string(replaces)});
      }
    }
    columns.emplace_back("replaces", replaces == 0 ? Value() : Value(replaces));
    return database->Insert(table, columns);
  }

  Result<std::vector<ElevationGrid>> Elevations() const;  // in order of arrival

  // Test flushes that meet `filter` (of test_flushes; all if empty) with their readings, in order of time.
  Result<std::vector<TestFlush>> TestFlushesWhere(const std::string& filter,
                                                  const std::vector<Value>& values) const;

  // Collects what `read` makes of each row.
  template <typename T>
  Result<std::vector<T>> List(const std::string& sql, const std::vector<Value>& values,
                              Result<T> (*read)(const Row&)) const {
    std::vector<T> list;
    Status status = database->Query(sql, values, [&](const Row& row) -> Status {
      Result<T> item = read(row);
      if (!item.ok()) {
        Error error = item.error();
        error.place.file = database->path();
        return error;
      }
      list.push_back(std::move(*item));
      return Ok();
    });
    if (!status.ok()) return status.error();
    return list;
  }
};

}  // namespace lastreach
