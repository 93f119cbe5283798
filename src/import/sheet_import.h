#pragma once

#include <gtest/gtest.h>

#include <string>

#include "import/import.h"
#include "import/written_file.h"

namespace lastreach {

// Takes a sheet in, into a project of two points.
class SheetImport : public testing::Test {
 protected:
  void SetUp() override {
    context_.zone = *Zone::Find("America/Chicago");
    context_.who = "R. Ames";
    context_.when = *ParseRfc3339("2026-08-01T12:00:00Z");
    for (const char* code : {"FP-001", "FP-002"}) {
      FlushPoint point;
      point.code = PointCode(code);
      context_.known_points.push_back(point);
    }
  }
  ImportResult Import(TableKind kind, const std::string& content) {
    const WrittenFile file("sheet.csv", content);
    const auto table = ReadTable(file.path(), kind);
    EXPECT_TRUE(table.ok()) << table.error().ToString();
    if (!table.ok()) return {};
    const auto preview = MapColumns(*table, kind);
    EXPECT_TRUE(preview.ok()) << preview.error().ToString();
    if (!preview.ok()) return {};
    ImportResult result = ImportRows(*table, *preview, context_);
    EXPECT_EQ(static_cast<size_t>(result.rows_in) + result.rejected.size(), table->rows.size());
    return result;
  }

  ImportContext context_;
};

}  // namespace lastreach
