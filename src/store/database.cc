#include "store/database.h"

#include <sqlite3.h>

namespace lastreach {
namespace {

int BindValue(sqlite3_stmt* statement, int index, const Value& value) {
  struct Binder {
    sqlite3_stmt* to;
    int at;
    int operator()(std::monostate) const { return sqlite3_bind_null(to, at); }
    int operator()(int64_t number) const { return sqlite3_bind_int64(to, at, number); }
    int operator()(double number) const { return sqlite3_bind_double(to, at, number); }
    int operator()(const std::string& text) const {
      return sqlite3_bind_text(to, at, text.data(), static_cast<int>(text.size()), SQLITE_TRANSIENT);
    }
    int operator()(const Blob& bytes) const {
      return sqlite3_bind_blob(to, at, bytes.data(), static_cast<int>(bytes.size()), SQLITE_TRANSIENT);
    }
  };
  return std::visit(Binder{statement, index}, value);
}

// A statement kept for reuse must be reset on every way out, or it holds its lock.
class ResetAtEnd {
 public:
  explicit ResetAtEnd(sqlite3_stmt* statement) : statement_(statement) {}
  ~ResetAtEnd() {
    sqlite3_reset(statement_);
    sqlite3_clear_bindings(statement_);
  }
  ResetAtEnd(const ResetAtEnd&) = delete;
  ResetAtEnd& operator=(const ResetAtEnd&) = delete;

 private:
  sqlite3_stmt* statement_;
};

std::string Placeholders(size_t count) {
  std::string text;
  for (size_t i = 0; i < count; ++i) text += i == 0 ? "?" : ", ?";
  return text;
}

std::string InsertSql(const std::string& table, const Columns& columns) {
  std::string names;
  for (const auto& [name, value] : columns) names += (names.empty() ? "" : ", ") + name;
  return "INSERT INTO " + table + " (" + names + ") VALUES (" + Placeholders(columns.size()) + ")";
}

std::vector<Value> ValuesOf(const Columns& columns) {
  std::vector<Value> values;
  values.reserve(columns.size());
  for (const auto& [name, value] : columns) values.push_back(value);
  return values;
}

}  // namespace

int Row::IndexOf(std::string_view column) const {
  // Columns are mostly read in the order they stand in, so the search goes on where the last one ended.
  const int count = sqlite3_column_count(statement_);
  for (int i = 0; i < count; ++i) {
    const int at = (looked_at_ + i) % count;
    if (column == sqlite3_column_name(statement_, at)) {
      looked_at_ = at;
      return at;
    }
  }
  return count;  // out of range reads as NULL
}

bool Row::IsNull(std::string_view column) const {
  return sqlite3_column_type(statement_, IndexOf(column)) == SQLITE_NULL;
}
int64_t Row::Int(std::string_view column) const { return sqlite3_column_int64(statement_, IndexOf(column)); }
double Row::Number(std::string_view column) const {
  return sqlite3_column_double(statement_, IndexOf(column));
}
std::string Row::Text(std::string_view column) const {
  const int index = IndexOf(column);
  const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, index));
  if (text == nullptr) return "";
  return {text, static_cast<size_t>(sqlite3_column_bytes(statement_, index))};
}
Blob Row::Bytes(std::string_view column) const {
  const int index = IndexOf(column);
  const auto* bytes = static_cast<const unsigned char*>(sqlite3_column_blob(statement_, index));
  if (bytes == nullptr) return {};
  return {bytes, bytes + sqlite3_column_bytes(statement_, index)};
}

Result<std::unique_ptr<Database>> Database::Open(const std::string& path, int wait_ms) {
  sqlite3* handle = nullptr;
  if (sqlite3_open_v2(path.c_str(), &handle, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK) {
    sqlite3_close(handle);
    return BadInput("the file cannot be opened for writing", {path, {}, "", ""});
  }
  sqlite3_extended_result_codes(handle, 1);
  sqlite3_busy_timeout(handle, wait_ms);
  return std::unique_ptr<Database>(new Database(path, handle));
}

Database::~Database() {
  for (const auto& [sql, statement] : statements_) sqlite3_finalize(statement);
  sqlite3_close(handle_);
}

Error Database::LastError() const {
  const Place place{path_, {}, "", ""};
  const std::string said = sqlite3_errmsg(handle_);
  switch (sqlite3_errcode(handle_) & 0xFF) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return Conflict("another program is writing to the project; try again when it is done", place);
    case SQLITE_CONSTRAINT:
      return Conflict("the record was refused: " + said, place);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return BadInput("the file is damaged or not a project: " + said, place);
    case SQLITE_READONLY:
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
      return BadInput("the file or its folder cannot be written to: " + said, place);
    case SQLITE_FULL:
      return BadInput("the disk is full; the last change was not kept", place);
    default: {
      Error error = Internal("the project file could not be used: " + said);
      error.place = place;
      return error;
    }
  }
}

Status Database::RunScript(const std::string& sql) {
  if (sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) return LastError();
  return Ok();
}

Result<sqlite3_stmt*> Database::Prepare(const std::string& sql, const std::vector<Value>& values) {
  auto found = statements_.find(sql);
  if (found == statements_.end()) {
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v2(handle_, sql.c_str(), -1, &statement, nullptr) != SQLITE_OK) return LastError();
    found = statements_.emplace(sql, statement).first;
  }
  for (size_t i = 0; i < values.size(); ++i) {
    if (BindValue(found->second, static_cast<int>(i) + 1, values[i]) != SQLITE_OK) return LastError();
  }
  return found->second;
}

Status Database::Run(const std::string& sql, const std::vector<Value>& values) {
  return Query(sql, values, [](const Row&) { return Ok(); });
}

Status Database::Query(const std::string& sql, const std::vector<Value>& values,
                       const std::function<Status(const Row&)>& use) {
  const auto statement = Prepare(sql, values);
  if (!statement.ok()) return statement.error();
  const ResetAtEnd reset(*statement);
  for (;;) {
    const int code = sqlite3_step(*statement);
    if (code == SQLITE_DONE) return Ok();
    if (code != SQLITE_ROW) return LastError();
    if (Status status = use(Row(*statement)); !status.ok()) return status;
  }
}

Result<std::optional<int64_t>> Database::QueryInt(const std::string& sql, const std::vector<Value>& values) {
  const auto statement = Prepare(sql, values);
  if (!statement.ok()) return statement.error();
  const ResetAtEnd reset(*statement);
  const int code = sqlite3_step(*statement);
  if (code == SQLITE_ROW) return std::optional<int64_t>(sqlite3_column_int64(*statement, 0));
  if (code == SQLITE_DONE) return std::optional<int64_t>();
  return LastError();
}

Result<int64_t> Database::Insert(const std::string& table, const Columns& columns) {
  if (Status status = Run(InsertSql(table, columns), ValuesOf(columns)); !status.ok()) {
    return status.error();
  }
  return sqlite3_last_insert_rowid(handle_);
}

Status Database::Upsert(const std::string& table, const std::string& key, const Columns& columns) {
  std::string changes;
  for (const auto& [name, value] : columns) {
    if (name == key) continue;
    if (!changes.empty()) changes += ", ";
    changes.append(name).append(" = excluded.").append(name);
  }
  return Run(InsertSql(table, columns) + " ON CONFLICT (" + key + ") DO UPDATE SET " + changes,
             ValuesOf(columns));
}

Status Database::InTransaction(const std::function<Status()>& work) {
  const std::string name = "level_" + std::to_string(depth_);
  const bool outermost = depth_ == 0;
  // IMMEDIATE: a transaction that only later finds it cannot write would have done its reading in vain.
  if (Status begun = RunScript(outermost ? "BEGIN IMMEDIATE" : "SAVEPOINT " + name); !begun.ok()) {
    return begun;
  }
  struct Guard {
    Database& database;
    std::string undo;
    bool armed = true;
    ~Guard() {
      --database.depth_;
      if (armed) sqlite3_exec(database.handle_, undo.c_str(), nullptr, nullptr, nullptr);
    }
  };
  ++depth_;
  Guard guard{*this, outermost ? "ROLLBACK" : "ROLLBACK TO " + name + "; RELEASE " + name};
  Status status = work();
  if (status.ok()) status = RunScript(outermost ? "COMMIT" : "RELEASE " + name);
  if (status.ok()) guard.armed = false;
  return status;
}

}  // namespace lastreach
