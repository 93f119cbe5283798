#include "app/flow_text.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

// SOURCE: NIST SP 811 (2008) Appendix B: 1 US gal = 3.785411784 L exactly.
TEST(ParseFlow, MillionsOfGallonsAndLitresADay) {
  EXPECT_NEAR(ParseFlow("2.1 MGD")->litres_per_second(), 2.1e6 * 3.785411784 / 86400, 1e-9);
  EXPECT_NEAR(ParseFlow("2.1mgd")->litres_per_second(), 2.1e6 * 3.785411784 / 86400, 1e-9);
  EXPECT_NEAR(ParseFlow("8 ML/d")->litres_per_second(), 8e6 / 86400, 1e-9);
}

TEST(ParseFlow, TheUnitsOfSheets) {
  EXPECT_NEAR(ParseFlow("350 gpm")->litres_per_second(), 350 * 3.785411784 / 60, 1e-9);
  EXPECT_NEAR(ParseFlow("92 L/s")->litres_per_second(), 92, 1e-9);
  EXPECT_NEAR(ParseFlow("1,200 m3/d")->litres_per_second(), 1.2e6 / 86400, 1e-9);
}

TEST(ParseFlow, IsRefusedWithoutANumberOrAUnit) {
  for (const char* text : {"", "MGD", "2.1", "2.1 furlongs"}) {
    const auto flow = ParseFlow(text);
    ASSERT_FALSE(flow.ok()) << text;
    EXPECT_EQ(flow.error().code, ErrorCode::kBadRequest);
  }
  EXPECT_NE(ParseFlow("2.1").error().message.find("MGD"), std::string::npos);
}

}  // namespace
}  // namespace lastreach
