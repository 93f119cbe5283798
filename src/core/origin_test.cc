#include "core/origin.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

TEST(Origin, EveryKindReadsBackFromItsWord) {
  for (const OriginKind kind :
       {OriginKind::kMeasured, OriginKind::kTyped, OriginKind::kEstimated, OriginKind::kAssumed}) {
    EXPECT_EQ(*ParseOriginKind(ToText(kind)), kind);
  }
  EXPECT_FALSE(ParseOriginKind("guessed").ok());
}

TEST(Origin, IsDescribedInWords) {
  const Origin origin{OriginKind::kMeasured, "night crew", *ParseRfc3339("2026-07-01T09:00:00Z"),
                      "drum and stopwatch"};
  EXPECT_EQ(Describe(origin), "measured by night crew on 2026-07-01 (drum and stopwatch)");
  EXPECT_EQ(Describe({}), "assumed");
}

}  // namespace
}  // namespace lastreach
