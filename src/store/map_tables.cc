#include "store/map_tables.h"

#include "store/table_sql.h"

namespace lastreach {
namespace {

std::string Attributes(const std::string& name, const std::string& columns, const std::string& description) {
  return "CREATE TABLE " + name + " (" + kId + ", " + columns + ");\n" + Register(name, description);
}

std::string Layer(const std::string& name, const std::string& geometry, const std::string& columns,
                  const std::string& description) {
  return "CREATE TABLE " + name + " (" + kFid + ", geom " + geometry + ", " + columns + ");\n" +
         RegisterLayer(name, geometry, description);
}

// A layer that came in from a file is replaced as a whole, and is found by its name.
std::string DrawnLayer(const std::string& name, const std::string& geometry, const std::string& columns,
                       const std::string& description) {
  return Layer(name, geometry, "layer TEXT NOT NULL, feature TEXT NOT NULL, " + columns, description) +
         "CREATE INDEX " + name + "_by_layer ON " + name + " (layer);\n";
}

std::string RepairTables() {
  const std::string between =
      "first_layer TEXT NOT NULL, first_feature TEXT NOT NULL, second_layer TEXT NOT NULL, "
      "second_feature TEXT NOT NULL, ";
  return Layer("repairs", "POINT",
               "id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, other_longitude_deg REAL NOT NULL, "
               "other_latitude_deg REAL NOT NULL, " +
                   between +
                   "gap_m REAL NOT NULL, confidence REAL NOT NULL, made BOOLEAN NOT NULL, why TEXT NOT NULL, "
                   "decision TEXT",
               "where the network differs from the drawing, or might") +
         Attributes("repair_decisions",
                    "kind TEXT NOT NULL, longitude_deg REAL NOT NULL, latitude_deg REAL NOT NULL, " +
                        between +
                        "decision TEXT NOT NULL, who TEXT NOT NULL, decided DATETIME NOT NULL, "
                        "why TEXT NOT NULL",
                    "what people said of repairs; append-only") +
         AppendOnly("repair_decisions");
}

std::string QuietTables() {
  return Layer("quiet_places", "POINT",
               "id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, node TEXT, street TEXT NOT NULL, "
               "zone TEXT NOT NULL, length_m REAL NOT NULL, volume_m3 REAL NOT NULL, "
               "services INTEGER NOT NULL, services_beyond INTEGER NOT NULL, demand_m3_per_s REAL NOT NULL, "
               "tail_m REAL NOT NULL, tail_m3 REAL NOT NULL, days_to_last_customer REAL, "
               "days_from_source REAL, fed_by TEXT NOT NULL, outlet TEXT NOT NULL, notes TEXT NOT NULL",
               "dead ends and quiet stretches of loops") +
         Layer("quiet_reaches", "MULTILINESTRING", "place TEXT NOT NULL UNIQUE",
               "the mains behind each quiet place") +
         Attributes("quiet_pieces",
                    "place TEXT NOT NULL, position INTEGER NOT NULL, link TEXT NOT NULL, "
                    "from_m REAL NOT NULL, to_m REAL NOT NULL, services INTEGER NOT NULL, "
                    "demand_m3_per_s REAL NOT NULL, UNIQUE (place, position)",
                    "pieces of links that make up each reach, from the well-fed main to the end");
}

std::string TablesOfOptions() {
  return Attributes("network_options",
                    "made_from TEXT NOT NULL, head_loss TEXT NOT NULL, "
                    "hazen_williams_constant REAL NOT NULL, viscosity_m2_per_s REAL NOT NULL, "
                    "bulk_per_day REAL NOT NULL, wall_m_per_day REAL NOT NULL, "
                    "diffusivity_m2_per_s REAL NOT NULL, temperature_c REAL NOT NULL",
                    "what holds for the whole network; no row without a network") +
         Attributes("network_patterns",
                    "pattern TEXT NOT NULL, hour INTEGER NOT NULL, factor REAL NOT NULL, "
                    "UNIQUE (pattern, hour)",
                    "factors by the hour, repeated") +
         Attributes("network_runs",
                    "node TEXT NOT NULL, start_h REAL NOT NULL, minutes REAL NOT NULL, flow_m3_per_s REAL, "
                    "orifice_m REAL, coefficient REAL",
                    "water drawn by devices at nodes");
}

}  // namespace

std::string MapTables() {
  return DrawnLayer("mains", "LINESTRING",
                    SourcedColumns("diameter_mm") +
                        ", material TEXT NOT NULL, year_laid INTEGER, street TEXT NOT NULL, "
                        "zone TEXT NOT NULL, written_length_m REAL, status TEXT NOT NULL, "
                        "level INTEGER NOT NULL",
                    "lines of mains as drawn") +
         DrawnLayer("things", "POINT",
                    "kind TEXT NOT NULL, name TEXT NOT NULL, zone TEXT NOT NULL, closed BOOLEAN NOT NULL, "
                    "head_m REAL",
                    "valves, hydrants, blow-offs, tanks, sources, pumps, fittings") +
         DrawnLayer("services", "POINT",
                    "street TEXT NOT NULL, connections INTEGER NOT NULL, " + SourcedColumns("use_l_per_s"),
                    "connections, meters or addresses of customers") +
         DrawnLayer("supply_areas", "MULTIPOLYGON", "name TEXT NOT NULL", "supply and pressure zones") +
         DrawnLayer("set_aside", "POINT", "reason TEXT NOT NULL, length_m REAL NOT NULL",
                    "features that take no part, with the reason") +
         Attributes("elevation_grids",
                    "name TEXT NOT NULL UNIQUE, crs_wkt TEXT NOT NULL, corner_x REAL NOT NULL, "
                    "x_per_column REAL NOT NULL, x_per_row REAL NOT NULL, corner_y REAL NOT NULL, "
                    "y_per_column REAL NOT NULL, y_per_row REAL NOT NULL, width INTEGER NOT NULL, "
                    "height INTEGER NOT NULL",
                    "ground heights: where each grid lies") +
         Attributes("elevation_strips",
                    "grid INTEGER NOT NULL REFERENCES elevation_grids(id), first_row INTEGER NOT NULL, "
                    "heights_m BLOB NOT NULL, UNIQUE (grid, first_row)",
                    "ground heights: whole rows of a grid");
}

std::string NetworkTables() {
  return Layer("network_nodes", "POINT",
               "id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, " + SourcedColumns("elevation_m") +
                   ", demand_m3_per_s REAL NOT NULL, head_m REAL, pattern TEXT NOT NULL, "
                   "tank_diameter_m REAL, tank_level_m REAL, tank_min_level_m REAL, tank_max_level_m REAL, "
                   "chlorine_mg_per_l REAL, x_m REAL, y_m REAL, zone TEXT NOT NULL, "
                   "has_hydrant BOOLEAN NOT NULL, has_blow_off BOOLEAN NOT NULL",
               "nodes of the network") +
         Layer("network_links", "LINESTRING",
               "id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, from_node TEXT NOT NULL, "
               "to_node TEXT NOT NULL, " +
                   SourcedColumns("length_m") + ", " + SourcedColumns("inner_diameter_m") + ", " +
                   SourcedColumns("roughness") +
                   ", minor_loss REAL NOT NULL, shutoff_head_m REAL, design_flow_m3_per_s REAL, "
                   "design_head_m REAL, setting_m REAL, setting_m3_per_s REAL, bulk_per_day REAL, "
                   "wall_m_per_day REAL, material TEXT NOT NULL, material_assumed BOOLEAN NOT NULL, "
                   "year_laid INTEGER, street TEXT NOT NULL, "
                   "zone TEXT NOT NULL, layer TEXT, feature TEXT, main_from_m REAL NOT NULL, "
                   "main_to_m REAL NOT NULL",
               "links of the network") +
         Attributes("node_things", "node TEXT NOT NULL, layer TEXT NOT NULL, feature TEXT NOT NULL",
                    "what stands at each node") +
         Attributes("connections",
                    "link TEXT NOT NULL, along_m REAL NOT NULL, connections INTEGER NOT NULL, " +
                        SourcedColumns("demand_m3_per_s") + ", layer TEXT NOT NULL, feature TEXT NOT NULL",
                    "where customers draw along each link") +
         TablesOfOptions() + RepairTables() + QuietTables();
}

}  // namespace lastreach
