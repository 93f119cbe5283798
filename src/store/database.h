#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "core/result.h"

struct sqlite3;
struct sqlite3_stmt;

namespace lastreach {

// What a cell of the database holds. A string is text, a vector of bytes a blob.
using Blob = std::vector<unsigned char>;
using Value = std::variant<std::monostate, int64_t, double, std::string, Blob>;

// A column's name and what to put there.
using Columns = std::vector<std::pair<std::string, Value>>;

// The row a query stands on; valid only inside the callback.
class Row {
 public:
  explicit Row(sqlite3_stmt* statement) : statement_(statement) {}

  bool IsNull(std::string_view column) const;
  int64_t Int(std::string_view column) const;
  double Number(std::string_view column) const;
  std::string Text(std::string_view column) const;  // empty for NULL
  Blob Bytes(std::string_view column) const;

 private:
  int IndexOf(std::string_view column) const;
  sqlite3_stmt* statement_;
  mutable int looked_at_ = 0;
};

// One connection, and errors of the library turned into one sentence.
//
// ERROR: kConflict when another program holds the file longer than the waiting time or an append-only table
// was to be changed; kBadInput when the file is damaged; kInternal otherwise.
// THREADS: one at a time.
class Database {
 public:
  // REQUIRES: the file exists. Waits up to `wait_ms` for another writer.
  static Result<std::unique_ptr<Database>> Open(const std::string& path, int wait_ms);
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  const std::string& path() const { return path_; }

  // Several statements at once, without parameters.
  Status RunScript(const std::string& sql);
  Status Run(const std::string& sql, const std::vector<Value>& values = {});
  // Calls `use` for each row until it fails.
  Status Query(const std::string& sql, const std::vector<Value>& values,
               const std::function<Status(const Row&)>& use);
  // The first column of the first row; none without rows.
  Result<std::optional<int64_t>> QueryInt(const std::string& sql, const std::vector<Value>& values = {});

  // Adds a row and returns its number.
  Result<int64_t> Insert(const std::string& table, const Columns& columns);
  // Adds a row, or changes the one with the same `key` column.
  Status Upsert(const std::string& table, const std::string& key, const Columns& columns);

  // All of `work` or none of it. Inside another transaction, all of it or back to where it began.
  Status InTransaction(const std::function<Status()>& work);

 private:
  Database(std::string path, sqlite3* handle) : path_(std::move(path)), handle_(handle) {}
  Result<sqlite3_stmt*> Prepare(const std::string& sql, const std::vector<Value>& values);
  Error LastError() const;

  std::string path_;
  sqlite3* handle_;
  int depth_ = 0;
  std::map<std::string, sqlite3_stmt*> statements_;
};

}  // namespace lastreach
