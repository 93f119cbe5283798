#include "store/table_sql.h"

namespace lastreach {

std::string SourcedColumns(const std::string& name, const std::string& type) {
  return name + " " + type + ", " + name + "_origin TEXT, " + name + "_by TEXT, " + name +
         "_when DATETIME, " + name + "_note TEXT";
}

std::string ReplacesColumn(const std::string& table) {
  return "replaces INTEGER UNIQUE REFERENCES " + table + "(id)";
}

std::string AppendOnly(const std::string& table) {
  const std::string says = "BEGIN SELECT RAISE(ABORT, '" + table +
                           " is append-only: add a row that replaces the old one'); END;\n";
  return "CREATE TRIGGER " + table + "_never_changed BEFORE UPDATE ON " + table + " " + says +
         "CREATE TRIGGER " + table + "_never_deleted BEFORE DELETE ON " + table + " " + says +
         "CREATE TRIGGER " + table + "_never_replaced BEFORE INSERT ON " + table +
         " WHEN EXISTS (SELECT 1 FROM " + table + " WHERE id = NEW.id) " + says;
}

std::string Register(const std::string& table, const std::string& description) {
  return "INSERT INTO gpkg_contents (table_name, data_type, identifier, description) VALUES ('" + table +
         "', 'attributes', '" + table + "', '" + description + "');\n";
}

std::string RegisterLayer(const std::string& table, const std::string& geometry,
                          const std::string& description) {
  return "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES ('" +
         table + "', 'features', '" + table + "', '" + description + "', 4326);\n" +
         "INSERT INTO gpkg_geometry_columns VALUES ('" + table + "', 'geom', '" + geometry +
         "', 4326, 0, 0);\n";
}

}  // namespace lastreach
