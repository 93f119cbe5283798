#include "app/stop_when_asked.h"

#include <gtest/gtest.h>

#include <csignal>

namespace lastreach {
namespace {

TEST(StopWhenAsked, StopsWhenItsTimeIsUp) {
  EXPECT_FALSE(StopWhenAsked(3600).IsAsked());
  EXPECT_TRUE(StopWhenAsked(0).IsAsked());
  EXPECT_FALSE(StopWhenAsked(std::nullopt).IsAsked());
}

TEST(StopWhenAsked, StopsWhenInterruptedAndNotForAnOlderInterruption) {
  {
    const StopWhenAsked stop(std::nullopt);
    std::raise(SIGINT);
    EXPECT_TRUE(stop.IsAsked());
  }
  EXPECT_FALSE(StopWhenAsked(std::nullopt).IsAsked());
}

}  // namespace
}  // namespace lastreach
