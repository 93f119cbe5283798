#include "app/progress.h"

#include <gtest/gtest.h>

#include <sstream>

namespace lastreach {
namespace {

TEST(Progress, IsSilentOffATerminal) {
  std::ostringstream err;
  {
    Progress progress(err, false, "planning", 24);
    progress.Show(12);
    progress.Show(24);
  }
  EXPECT_EQ(err.str(), "");
}

TEST(Progress, FillsWithTheWorkDone) {
  std::ostringstream err;
  Progress progress(err, true, "planning", 24);
  progress.Show(12);
  EXPECT_TRUE(
      err.str().ends_with("\rplanning  [" + std::string(15, '#') + std::string(15, '-') + "]  12 of 24"));
  progress.Show(24);
  EXPECT_TRUE(err.str().ends_with("\rplanning  [" + std::string(30, '#') + "]  24 of 24"));
}

TEST(Progress, LeavesTheLineBlankWhenItEnds) {
  std::ostringstream err;
  {
    Progress progress(err, true, "printing", 1000);
    progress.Show(1000);
  }
  const std::string text = err.str();
  const size_t last = text.rfind('\r');
  const size_t before = text.rfind('\r', last - 1);
  const std::string wiped = text.substr(before + 1, last - before - 1);
  EXPECT_EQ(last, text.size() - 1);
  EXPECT_EQ(wiped.find_first_not_of(' '), std::string::npos);
  const size_t shown_from = text.rfind('\r', before - 1);
  EXPECT_GE(wiped.size(), before - shown_from - 1) << "the wipe covers what stood there";
}

TEST(Progress, StandsWithNothingToDo) {
  std::ostringstream err;
  Progress progress(err, true, "planning", 0);
  progress.Show(0);
  EXPECT_NE(err.str().find("0 of 1"), std::string::npos);
}

}  // namespace
}  // namespace lastreach
