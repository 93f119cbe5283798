#include <toml++/toml.h>
#include <filesystem>

#include "import/mapping.h"

namespace lastreach {
namespace {

int LineOf(const toml::node& node) { return static_cast<int>(node.source().begin.line); }

// The column in `columns` for `field`, added if it is not there.
ChosenColumn& Entry(std::vector<ChosenColumn>& columns, const std::string& field) {
  for (ChosenColumn& column : columns) {
    if (column.field == field) return column;
  }
  columns.push_back({field, "", ""});
  return columns.back();
}

std::string FieldNames(TableKind kind) {
  std::string names;
  for (const Field& field : FieldsOf(kind)) names += (names.empty() ? "" : ", ") + field.name;
  return names;
}

Status TakeTable(const toml::table& from, bool units, const std::string& path, TableKind kind,
                 std::vector<ChosenColumn>& to) {
  for (const auto& [key, node] : from) {
    const std::string name(key.str());
    const Field* field = FindField(kind, name);
    if (field == nullptr)
      return BadInput("no such field; there are " + FieldNames(kind), {path, LineOf(node), "", name});
    const auto text = node.value_exact<std::string>();
    if (!text) return BadInput("a text in quotes is wanted", {path, LineOf(node), name, ""});
    if (units && !FindUnit(field->dimension, *text)) {
      return BadInput(field->dimension == Dimension::kNone
                          ? "this field has no unit"
                          : "no such unit; there are " + UnitNames(field->dimension),
                      {path, LineOf(node), name, *text});
    }
    (units ? Entry(to, name).unit : Entry(to, name).heading) = *text;
  }
  return Ok();
}

}  // namespace

Result<std::vector<ChosenColumn>> ReadColumnsFile(const std::string& path, TableKind kind) {
  if (!std::filesystem::is_regular_file(path)) return NotFound("there is no such file", {path, {}, "", ""});
  try {
    const toml::table document = toml::parse_file(path);
    std::vector<ChosenColumn> columns;
    for (const auto& [key, node] : document) {
      const std::string name(key.str());
      if (name == "values" && node.is_table()) continue;  // value_maps.h
      if ((name != "columns" && name != "units") || !node.is_table()) {
        return BadInput("a columns file has [columns], [units], [values.FIELD] and nothing else",
                        {path, LineOf(node), "", name});
      }
      Status taken = TakeTable(*node.as_table(), name == "units", path, kind, columns);
      if (!taken.ok()) return taken.error();
    }
    return columns;
  } catch (const toml::parse_error& error) {
    return BadInput("this is not TOML: " + std::string(error.description()),
                    {path, static_cast<int>(error.source().begin.line), "", ""});
  }
}

}  // namespace lastreach
