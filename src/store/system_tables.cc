#include "store/system_tables.h"

#include "store/table_sql.h"

namespace lastreach {
namespace {

std::string NewColumns() {
  return "ALTER TABLE flush_points ADD COLUMN drought_rank INTEGER;\n"
         "ALTER TABLE flush_points ADD COLUMN stays_on BOOLEAN NOT NULL DEFAULT 0;\n"
         "ALTER TABLE flush_points ADD COLUMN stays_on_because TEXT NOT NULL DEFAULT '';\n"
         "ALTER TABLE flush_points ADD COLUMN adjustable_flow BOOLEAN;\n"
         "ALTER TABLE limits ADD COLUMN pressure_head_m REAL;\n"
         "ALTER TABLE limits ADD COLUMN devices INTEGER;\n"
         "ALTER TABLE limits ADD COLUMN tank TEXT;\n"
         "ALTER TABLE limits ADD COLUMN level_m REAL;\n"
         "ALTER TABLE limits ADD COLUMN from_month INTEGER;\n"
         "ALTER TABLE limits ADD COLUMN to_month INTEGER;\n"
         "ALTER TABLE limits ADD COLUMN discharge TEXT;\n"
         "ALTER TABLE limits ADD COLUMN stage INTEGER;\n"
         "ALTER TABLE limits ADD COLUMN every_days INTEGER;\n";
}

std::string MonthTable() {
  return "CREATE TABLE month_waters (" + kId +
         ", zone TEXT NOT NULL, month INTEGER NOT NULL CHECK (month BETWEEN 1 AND 12), " +
         SourcedColumns("temperature_c") + ", " + SourcedColumns("use_factor") + ", " +
         SourcedColumns("upstream_residual_mg_per_l") + ", UNIQUE (zone, month));\n" +
         Register("month_waters", "the water of each supply zone in each month");
}

std::string TripTable() {
  return "CREATE TABLE trips (" + kId +
         ", scope TEXT NOT NULL, subject TEXT NOT NULL, months INTEGER, day DATE, why TEXT NOT NULL, "
         "CHECK ((months IS NULL) <> (day IS NULL)));\n" +
         Register("trips", "visits made anyway, which a change of settings can ride on");
}

std::string PriceTable() {
  return "CREATE TABLE prices (" + kId + ", currency TEXT NOT NULL, " + SourcedColumns("water_per_m3") +
         ", " + SourcedColumns("visit") + ");\n" + Register("prices", "of water and of visits, one row");
}

}  // namespace

std::string SystemTables() { return NewColumns() + MonthTable() + TripTable() + PriceTable(); }

}  // namespace lastreach
