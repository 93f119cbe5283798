#include "store/schema.h"

#include <array>

#include "store/map_tables.h"
#include "store/record_tables.h"
#include "store/simulation_tables.h"
#include "store/system_tables.h"
#include "store/table_sql.h"

namespace lastreach {
namespace {

// "GPKG" in ASCII, and version 1.3.0.
// The definitions of the reference systems are those of [OGC 12-128r17] table "Spatial Ref Sys".
constexpr const char* kFrame = R"sql(
PRAGMA application_id = 1196444487;
PRAGMA user_version = 10300;
CREATE TABLE gpkg_spatial_ref_sys (
  srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
INSERT INTO gpkg_spatial_ref_sys VALUES
  ('Undefined Cartesian', -1, 'NONE', -1, 'undefined', 'undefined Cartesian coordinate reference system'),
  ('Undefined geographic', 0, 'NONE', 0, 'undefined', 'undefined geographic coordinate reference system'),
  ('WGS 84 geodetic', 4326, 'EPSG', 4326,
   'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]',
   'longitude/latitude coordinates in decimal degrees on the WGS 84 spheroid');
CREATE TABLE gpkg_contents (
  table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
  description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (
  table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
)sql";

// Version 1: what is there, and what was seen and keyed.
std::string RecordsOfVersion1() {
  return "CREATE TABLE settings_records (" + kId + ", " + kPoint +
         ", kind TEXT NOT NULL, settings TEXT NOT NULL, recorded DATETIME NOT NULL, who TEXT NOT NULL, "
         "why TEXT NOT NULL, revert_by DATE, clock_fast_minutes INTEGER, " +
         ReplacesColumn("settings_records") + ");\n" + "CREATE TABLE samples (" + kId + ", " + kPoint +
         ", day DATE NOT NULL, minute_of_day INTEGER, analyte TEXT NOT NULL, residual_mg_per_l REAL NOT "
         "NULL, "
         "below_detection BOOLEAN NOT NULL, original TEXT NOT NULL, temperature_c REAL, who TEXT NOT NULL, "
         "notes TEXT NOT NULL, " +
         ReplacesColumn("samples") + ");\n" + "CREATE TABLE meter_reads (" + kId + ", " + kPoint +
         ", day DATE NOT NULL, minute_of_day INTEGER, total_m3 REAL NOT NULL, original TEXT NOT NULL, "
         "who TEXT NOT NULL, " +
         ReplacesColumn("meter_reads") + ");\n" + "CREATE TABLE visits (" + kId + ", " + kPoint +
         ", arrived DATETIME NOT NULL, who TEXT NOT NULL, why TEXT NOT NULL, notes TEXT NOT NULL, " +
         ReplacesColumn("visits") + ");\n" + AppendOnly("settings_records") + AppendOnly("samples") +
         AppendOnly("meter_reads") + AppendOnly("visits");
}

std::string Version1() {
  return "CREATE TABLE lastreach_schema (" + kId +
         ", version INTEGER NOT NULL, applied DATETIME NOT NULL);\n"
         "CREATE TABLE project (" +
         kId + ", name TEXT NOT NULL, zone TEXT NOT NULL, created DATETIME NOT NULL);\n" +
         "CREATE TABLE controller_forms (" + kId + ", name TEXT NOT NULL UNIQUE, form TEXT NOT NULL);\n" +
         "CREATE TABLE flush_points (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom POINT, "
         "code TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, place TEXT NOT NULL, supply_zone TEXT NOT NULL, "
         "controller TEXT NOT NULL, " +
         SourcedColumns("flow_l_per_s") +
         ", discharge TEXT NOT NULL, isolation_valve TEXT NOT NULL, meter TEXT NOT NULL, notes TEXT NOT "
         "NULL);\n" +
         "CREATE TABLE reaches (" + kId + ", point TEXT NOT NULL UNIQUE REFERENCES flush_points(code), " +
         SourcedColumns("upstream_residual_mg_per_l") + ");\n" + "CREATE TABLE reach_pipes (" + kId +
         ", point TEXT NOT NULL REFERENCES reaches(point), position INTEGER NOT NULL, " +
         SourcedColumns("length_m") + ", " + SourcedColumns("inner_diameter_mm") +
         ", material TEXT NOT NULL, " + SourcedColumns("services", "INTEGER") + ", " +
         SourcedColumns("demand_l_per_s") + ", UNIQUE (point, position));\n" + "CREATE TABLE supply_zones (" +
         kId + ", name TEXT NOT NULL UNIQUE, disinfectant TEXT NOT NULL, " +
         SourcedColumns("target_residual_mg_per_l") + ", " + SourcedColumns("upstream_residual_mg_per_l") +
         ", " + SourcedColumns("bulk_per_day_at_20c") + ", " + SourcedColumns("wall_m_per_day") + ", " +
         SourcedColumns("worst_week_c") + ", " + SourcedColumns("demand_per_service_l_per_s") + ");\n" +
         "CREATE TABLE limits (" + kId +
         ", scope TEXT NOT NULL, subject TEXT NOT NULL, rule TEXT NOT NULL, from_min INTEGER, to_min "
         "INTEGER, "
         "days INTEGER, flow_l_per_s REAL, volume_m3 REAL, residual_mg_per_l REAL, source TEXT NOT NULL);\n" +
         RecordsOfVersion1() +
         "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES "
         "('flush_points', 'features', 'flush_points', 'where the end of a main can be flushed', 4326);\n"
         "INSERT INTO gpkg_geometry_columns VALUES ('flush_points', 'geom', 'POINT', 4326, 0, 0);\n" +
         Register("lastreach_schema", "version of this file, one row a migration") +
         Register("project", "name and time zone") +
         Register("controller_forms", "what each type of timer can be keyed to") +
         Register("reaches", "the branch behind each flush point") +
         Register("reach_pipes", "its pipes, from the well-fed main to the end") +
         Register("supply_zones", "the water of each part of the system") +
         Register("limits", "limits of the user, each with its source") +
         Register("settings_records", "settings planned, as left and as found; append-only") +
         Register("samples", "residuals; append-only") +
         Register("meter_reads", "readings of device meters; append-only") +
         Register("visits", "who stood where and why; append-only");
}

// Version 2: how sheets came in, and what was planned.
std::string Version2() {
  return "CREATE TABLE column_mappings (" + kId +
         ", kind TEXT NOT NULL, headings TEXT NOT NULL, field TEXT NOT NULL, heading TEXT NOT NULL, "
         "unit TEXT NOT NULL, UNIQUE (kind, headings, field));\n"
         "CREATE TABLE import_log (" +
         kId +
         ", file TEXT NOT NULL, kind TEXT NOT NULL, imported DATETIME NOT NULL, who TEXT NOT NULL, "
         "rows_in INTEGER NOT NULL, rows_rejected INTEGER NOT NULL);\n"
         "CREATE TABLE rejected_rows (" +
         kId +
         ", import INTEGER NOT NULL REFERENCES import_log(id), line INTEGER NOT NULL, heading TEXT NOT NULL, "
         "value TEXT NOT NULL, reason TEXT NOT NULL, original TEXT NOT NULL);\n"
         "CREATE TABLE plans (" +
         kId +
         ", point TEXT REFERENCES flush_points(code), season TEXT NOT NULL, made DATETIME NOT NULL, "
         "plan TEXT NOT NULL);\n" +
         AppendOnly("import_log") + AppendOnly("rejected_rows") + AppendOnly("plans") +
         Register("column_mappings", "which heading filled which field, by kind and set of headings") +
         Register("import_log", "sheets that came in; append-only") +
         Register("rejected_rows", "rows that did not, with the reason; append-only") +
         Register("plans", "results of planning, as JSON; append-only");
}

// Version 3: found by point and day, which is how every page asks.
std::string Version3() {
  return "CREATE INDEX settings_by_point ON settings_records (point, kind, id);\n"
         "CREATE INDEX samples_by_point ON samples (point, day);\n"
         "CREATE INDEX meter_reads_by_point ON meter_reads (point, day);\n"
         "CREATE INDEX visits_by_point ON visits (point, arrived);\n"
         "CREATE INDEX plans_by_point ON plans (point, id);\n"
         "CREATE INDEX rejected_rows_by_import ON rejected_rows (import);\n";
}

// Version 4: what the layers of the map show, and the network made of them.
std::string Version4() { return MapTables() + NetworkTables(); }

// Version 5: what happens in the network through time, and what was computed of it.
std::string Version5() { return SimulationTables(); }

// Version 6: what the plan of a whole system and year rests on.
std::string Version6() { return SystemTables(); }

// Version 7: what proves a plan, and what a month is accounted by.
std::string Version7() { return RecordTables(); }

constexpr std::array<std::string (*)(), 7> kMigrations = {Version1, Version2, Version3, Version4,
                                                          Version5, Version6, Version7};

}  // namespace

int NewestSchemaVersion() { return static_cast<int>(kMigrations.size()); }

Status WriteGeoPackageFrame(Database& database) { return database.RunScript(kFrame); }

Result<int> SchemaVersion(Database& database) {
  const Place place{database.path(), {}, "", ""};
  const auto table =
      database.QueryInt("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'lastreach_schema'");
  if (!table.ok()) return table.error();
  if (!table->has_value()) return BadInput("this is not a Lastreach project file", place);
  const auto version = database.QueryInt("SELECT coalesce(max(version), 0) FROM lastreach_schema");
  if (!version.ok()) return version.error();
  const int number = static_cast<int>(version->value_or(0));
  if (number > NewestSchemaVersion()) {
    return BadInput("the project was written by a newer program (file version " + std::to_string(number) +
                        ", this program knows up to " + std::to_string(NewestSchemaVersion()) +
                        "); use the newer program",
                    place);
  }
  return number;
}

Status Migrate(Database& database, int version) {
  return database.InTransaction([&]() -> Status {
    // Read inside the transaction: another program may have migrated the file since it was opened.
    const auto table =
        database.QueryInt("SELECT count(*) FROM sqlite_master WHERE name = 'lastreach_schema'");
    if (!table.ok()) return table.error();
    int at = 0;
    if (table->value_or(0) > 0) {
      const auto now = SchemaVersion(database);
      if (!now.ok()) return now.error();
      at = *now;
    }
    for (; at < version; ++at) {
      if (Status done = database.RunScript(kMigrations[static_cast<size_t>(at)]()); !done.ok()) return done;
      Status noted = database.Run(
          "INSERT INTO lastreach_schema (version, applied) VALUES (?, strftime('%Y-%m-%dT%H:%M:%fZ','now'))",
          {int64_t{at} + 1});
      if (!noted.ok()) return noted;
    }
    return Ok();
  });
}

}  // namespace lastreach
