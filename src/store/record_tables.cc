#include "store/record_tables.h"

#include "store/table_sql.h"

namespace lastreach {
namespace {

std::string NewColumns() {
  return "ALTER TABLE flush_points ADD COLUMN meter_turns_over_at_m3 REAL;\n"
         "ALTER TABLE flush_points ADD COLUMN dechlorination TEXT NOT NULL DEFAULT '';\n"
         "ALTER TABLE flush_points ADD COLUMN dechlorination_holds_kg REAL;\n"
         "ALTER TABLE meter_reads ADD COLUMN is_estimate BOOLEAN NOT NULL DEFAULT 0;\n"
         "ALTER TABLE meter_reads ADD COLUMN new_meter_at_m3 REAL;\n"
         "ALTER TABLE visits ADD COLUMN new_battery BOOLEAN NOT NULL DEFAULT 0;\n"
         "ALTER TABLE visits ADD COLUMN dechlorination_refilled BOOLEAN NOT NULL DEFAULT 0;\n";
}

std::string FlushTables() {
  return "CREATE TABLE flush_runs (" + kId + ", " + kPoint +
         ", begun DATETIME NOT NULL, lasted_min REAL NOT NULL, volume_m3 REAL, measured_by TEXT NOT NULL, "
         "who TEXT NOT NULL, why TEXT NOT NULL, notes TEXT NOT NULL, " +
         ReplacesColumn("flush_runs") + ");\n" + "CREATE TABLE flow_tests (" + kId + ", " + kPoint +
         ", day DATE NOT NULL, minute_of_day INTEGER, flow_l_per_s REAL NOT NULL, measured_by TEXT NOT NULL, "
         "accuracy REAL, who TEXT NOT NULL, notes TEXT NOT NULL, " +
         ReplacesColumn("flow_tests") + ");\n" + AppendOnly("flush_runs") + AppendOnly("flow_tests") +
         "CREATE INDEX flush_runs_by_point ON flush_runs (point, begun);\n"
         "CREATE INDEX flow_tests_by_point ON flow_tests (point, day);\n" +
         Register("flush_runs", "water that was let out once and seen; append-only") +
         Register("flow_tests", "measured flows of open points; append-only");
}

std::string TestFlushTables() {
  return "CREATE TABLE test_flushes (" + kId + ", " + kPoint +
         ", begun DATETIME NOT NULL, analyte TEXT NOT NULL, upstream_residual_mg_per_l REAL, who TEXT NOT "
         "NULL, notes TEXT NOT NULL, " +
         ReplacesColumn("test_flushes") + ");\n" + "CREATE TABLE test_flush_readings (" + kId +
         ", test_flush INTEGER NOT NULL REFERENCES test_flushes(id), position INTEGER NOT NULL, "
         "after_min REAL NOT NULL, residual_mg_per_l REAL, below_detection BOOLEAN NOT NULL, temperature_c "
         "REAL, turbidity_ntu REAL, flow_l_per_s REAL, pressure_head_m REAL, UNIQUE (test_flush, "
         "position));\n" +
         AppendOnly("test_flushes") + AppendOnly("test_flush_readings") +
         "CREATE INDEX test_flushes_by_point ON test_flushes (point, begun);\n" +
         Register("test_flushes", "flushes with readings at the outlet; append-only") +
         Register("test_flush_readings", "what was read while the water ran; append-only");
}

std::string MonthTables() {
  return "CREATE TABLE byproducts (" + kId +
         ", site TEXT NOT NULL, day DATE NOT NULL, byproduct TEXT NOT NULL, value_ug_per_l REAL NOT NULL, "
         "below_detection BOOLEAN NOT NULL, original TEXT NOT NULL, " +
         ReplacesColumn("byproducts") + ");\n" + "CREATE TABLE supplied_months (" + kId +
         ", year INTEGER NOT NULL, month INTEGER NOT NULL CHECK (month BETWEEN 1 AND 12), supplied_m3 REAL "
         "NOT NULL, " +
         ReplacesColumn("supplied_months") + ");\n" + AppendOnly("byproducts") +
         AppendOnly("supplied_months") + "CREATE INDEX byproducts_by_site ON byproducts (site, day);\n" +
         Register("byproducts", "by-products of disinfection, laboratory results; append-only") +
         Register("supplied_months", "what went into the system in each month; append-only");
}

}  // namespace

std::string RecordTables() { return NewColumns() + FlushTables() + TestFlushTables() + MonthTables(); }

}  // namespace lastreach
