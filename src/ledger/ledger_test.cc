#include <gtest/gtest.h>

#include "ledger/flush_point.h"
#include "ledger/limits.h"
#include "ledger/reach.h"
#include "ledger/records.h"

namespace lastreach {
namespace {

// The words are stored in project files, so each must read back as the value that wrote it.
TEST(LedgerWords, ReadBackAsTheValueThatWroteThem) {
  for (const auto kind : {PointKind::kDevice, PointKind::kHand})
    EXPECT_EQ(*ParsePointKind(ToText(kind)), kind);
  for (const auto to : {DischargeTo::kUnknown, DischargeTo::kGround, DischargeTo::kStormDrain,
                        DischargeTo::kCreek, DischargeTo::kSewer, DischargeTo::kRoad, DischargeTo::kUse}) {
    EXPECT_EQ(*ParseDischargeTo(ToText(to)), to);
  }
  for (const auto d : {Disinfectant::kFreeChlorine, Disinfectant::kChloramine}) {
    EXPECT_EQ(*ParseDisinfectant(ToText(d)), d);
  }
  for (const auto kind : {SettingsKind::kPlanned, SettingsKind::kAsLeft, SettingsKind::kAsFound}) {
    EXPECT_EQ(*ParseSettingsKind(ToText(kind)), kind);
  }
  for (const auto a : {Analyte::kFreeChlorine, Analyte::kTotalChlorine, Analyte::kMonochloramine}) {
    EXPECT_EQ(*ParseAnalyte(ToText(a)), a);
  }
}

TEST(LedgerWords, AnUnknownWordIsRefusedWithTheWordsThereAre) {
  const auto kind = ParseSettingsKind("keyed");
  ASSERT_FALSE(kind.ok());
  EXPECT_EQ(kind.error().ToString(),
            "value 'keyed': the kind of a settings record is one of planned, as-left, as-found");
}

TEST(Limits, AreDescribedInWords) {
  EXPECT_EQ(Describe(LimitRule(ForbiddenHours{435, 540, {0x1F}})),
            "not from 07:15 to 09:00, Monday, Tuesday, Wednesday, Thursday and Friday");
  EXPECT_EQ(Describe(LimitRule(MostFlow{Flow::LitresPerSecond(2.5)})), "at most 2.5 L/s");
  EXPECT_EQ(Describe(LimitRule(LeastResidual{Concentration::MilligramsPerLitre(0.4)})),
            "residual at least 0.4 mg/L");
}

}  // namespace
}  // namespace lastreach
