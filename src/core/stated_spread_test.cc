#include "core/stated_spread.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

TEST(StatedSpread, ReadsBack) {
  Origin origin{OriginKind::kEstimated, "lastreach fit", std::nullopt, LogSdNote(0.123) + ", 14 readings"};
  EXPECT_EQ(StatedLogSd(origin), 0.123);
}

TEST(StatedSpread, NoOtherNoteIsTakenForOne) {
  Origin origin;
  for (const char* note :
       {"", "drum", "the log sd 0.1", "log sd ", "log sd -1", "log sd nan", "log sd 1e9"}) {
    origin.note = note;
    EXPECT_FALSE(StatedLogSd(origin)) << note;
  }
}

}  // namespace
}  // namespace lastreach
