#include <gtest/gtest.h>

#include <array>
#include <set>

#include "import/import.h"
#include "import/shared_services.h"

namespace lastreach {
namespace {

// Cells of every sort of dirt, put anywhere.
constexpr std::array<const char*, 62> kCells = {"",
                                                "FP-001",
                                                "FP-002",
                                                "fp 1",
                                                "Total",
                                                "UNK",
                                                "300",
                                                "about 300",
                                                "~1,250",
                                                "300 ft",
                                                "6\"",
                                                "0",
                                                "-9.99",
                                                "-5",
                                                "1e400",
                                                "0,4",
                                                "<0.1",
                                                "ND",
                                                "1.2/1.5",
                                                "0.6T",
                                                "2026-07-03",
                                                "03/04/2026",
                                                "31/06/2026",
                                                "3 Jul 26",
                                                "46206",
                                                "13:10",
                                                "1:10 am",
                                                "25:00",
                                                "02:30",
                                                "MWF",
                                                "odd",
                                                "every 3 days",
                                                "S",
                                                "on",
                                                "winterized",
                                                "130 %",
                                                "1.3",
                                                "60 gpm",
                                                "x100 gal",
                                                "queue",
                                                "forbidden hours",
                                                "least residual",
                                                "free",
                                                "least pressure",
                                                "20 psi",
                                                "frost months",
                                                "Nov to March",
                                                "drought stage 2",
                                                "flush at least every",
                                                "monthly",
                                                "July",
                                                "North",
                                                "visit",
                                                "water",
                                                "$4.85",
                                                "1000 gal",
                                                "26 C",
                                                "as left",
                                                "8in x 1200 ft + 6in x 400 ft",
                                                "two\nlines",
                                                "\xC3\xBC",
                                                "99999999999999999999"};

// Promise of ImportRows, over all kinds: every row is in or rejected, once, and listings name their row.
TEST(ImportRows, AccountsForEveryRowOfAnySheet) {
  unsigned state = 20260701;  // seed
  const auto next = [&state](size_t below) {
    state = state * 1664525U + 1013904223U;
    return static_cast<size_t>(state >> 16U) % below;
  };
  ImportContext context;
  context.zone = *Zone::Find("America/Chicago");
  context.when = *ParseRfc3339("2026-08-01T12:00:00Z");
  for (const char* code : {"FP-001", "FP-002"}) {
    context.known_points.emplace_back();
    context.known_points.back().code = PointCode(code);
  }
  context.known_zones = {"North", "South"};
  int rows_in = 0;
  for (const TableKind kind :
       {TableKind::kDevices, TableKind::kPoints, TableKind::kReaches, TableKind::kServices,
        TableKind::kSamples, TableKind::kReads, TableKind::kControllers, TableKind::kLimits,
        TableKind::kZones, TableKind::kSettings, TableKind::kTemperatures, TableKind::kTrips,
        TableKind::kPrices, TableKind::kRuns, TableKind::kFlowTests, TableKind::kTestFlushes,
        TableKind::kVisits, TableKind::kByproducts, TableKind::kProduction}) {
    for (int round = 0; round < 15; ++round) {
      Table table;
      MappingOptions options;
      for (const Field& field : FieldsOf(kind)) {
        table.headings.push_back(field.name);
        const std::string units = UnitNames(field.dimension);
        options.typed.push_back({field.name, field.name, units.substr(0, units.find(','))});
      }
      for (int line = 2; line < 32; ++line) {
        TableRow row{line, line, {}};
        for (size_t i = 0; i < table.headings.size() + next(2); ++i)
          row.cells.emplace_back(kCells[next(kCells.size())]);
        // A point that exists, or nearly nothing would come in.
        if (next(4) > 0) row.cells[0] = "FP-00" + std::to_string(1 + next(2));
        table.rows.push_back(std::move(row));
      }
      const auto preview = MapColumns(table, kind, options);
      ASSERT_TRUE(preview.ok()) << preview.error().ToString();
      const ImportResult result = ImportRows(table, *preview, context);
      ASSERT_EQ(static_cast<size_t>(result.rows_in) + result.rejected.size(), table.rows.size())
          << ToText(kind);
      std::set<int> rejected;
      for (const RejectedRow& row : result.rejected) {
        ASSERT_TRUE(rejected.insert(row.line).second) << "listed twice: " << row.line;
        ASSERT_FALSE(row.reason.empty());
        ASSERT_EQ(row.original, AsWritten(table.rows[static_cast<size_t>(row.line) - 2]));
      }
      for (const RejectedRow& cell : result.left_out) {
        ASSERT_EQ(rejected.count(cell.line), 0U) << "left out of a row that is not in";
        ASSERT_FALSE(cell.column.empty());
      }
      rows_in += result.rows_in;
    }
  }
  EXPECT_GT(rows_in, 100);
}

TEST(ShareOut, AddsUpToWhatWasGivenWhateverTheLengths) {
  unsigned state = 7;  // seed
  for (int round = 0; round < 500; ++round) {
    std::vector<ReachPipe> pipes;
    for (int i = 0; i <= round % 6; ++i) {
      state = state * 1664525U + 1013904223U;
      pipes.emplace_back();
      pipes.back().length.value = Length::Metres(1 + (state >> 16U) % 900);
    }
    const Sourced<Flow> demand{Flow::LitresPerSecond(1), {}};
    ShareOut({round, {}}, demand, pipes);
    int services = 0;
    Flow flow;
    for (const ReachPipe& pipe : pipes) {
      EXPECT_GE(pipe.services.value, 0);
      services += pipe.services.value;
      flow = flow + pipe.demand->value;
    }
    EXPECT_EQ(services, round);
    EXPECT_NEAR(flow.litres_per_second(), 1, 1e-12);
  }
}

TEST(PutServices, PutsThemOnThePipeNamedOrAlongTheWholeReach) {
  Reach reach;
  reach.point = PointCode("FP-001");
  EXPECT_FALSE(PutServices({reach.point, {}, {4, {}}, {}}, reach).ok());
  reach.pipes.resize(2);
  reach.pipes[0].length.value = Length::Metres(300);
  reach.pipes[1].length.value = Length::Metres(100);
  ASSERT_TRUE(PutServices({reach.point, {}, {4, {}}, {}}, reach).ok());
  EXPECT_EQ(reach.pipes[0].services.value, 3);
  EXPECT_EQ(reach.pipes[1].services.value, 1);
  ASSERT_TRUE(PutServices({reach.point, 2, {9, {}}, {}}, reach).ok());
  EXPECT_EQ(reach.pipes[0].services.value, 3);
  EXPECT_EQ(reach.pipes[1].services.value, 9);
  EXPECT_FALSE(PutServices({reach.point, 3, {9, {}}, {}}, reach).ok());
}

}  // namespace
}  // namespace lastreach
