#include "store/simulation_tables.h"

#include "store/table_sql.h"

namespace lastreach {
namespace {

std::string NewColumns() {
  return "ALTER TABLE network_nodes ADD COLUMN leak_orifice_m REAL;\n"
         "ALTER TABLE network_nodes ADD COLUMN leak_coefficient REAL;\n"
         "ALTER TABLE network_nodes ADD COLUMN tank_mixing TEXT;\n"
         "ALTER TABLE network_options ADD COLUMN short_pressure_none_below_m REAL;\n"
         "ALTER TABLE network_options ADD COLUMN short_pressure_full_above_m REAL;\n";
}

std::string RuleTable() {
  return "CREATE TABLE network_rules (" + kId +
         ", link TEXT NOT NULL, action TEXT NOT NULL, tank TEXT, falls_to_m REAL, rises_to_m REAL, "
         "at_h REAL);\n" +
         Register("network_rules", "what opens and shuts links by itself");
}

std::string ResultTables() {
  return "CREATE TABLE network_results (" + kId +
         ", made DATETIME NOT NULL, kind TEXT NOT NULL, of TEXT NOT NULL, unit TEXT NOT NULL, "
         "begins DATETIME, hours REAL NOT NULL, step_h REAL NOT NULL, note TEXT NOT NULL);\n" +
         "CREATE TABLE network_result_steps (" + kId +
         ", result INTEGER NOT NULL REFERENCES network_results(id), step INTEGER NOT NULL, "
         "hour REAL NOT NULL, numbers BLOB NOT NULL, UNIQUE (result, step));\n" +
         Register("network_results", "what was computed with the network") +
         Register("network_result_steps", "its numbers at each time, one a node or one a link");
}

}  // namespace

std::string SimulationTables() { return NewColumns() + RuleTable() + ResultTables(); }

}  // namespace lastreach
