#include "core/result.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

Result<int> Half(int x) {
  if (x % 2 != 0) return BadInput("odd", {"numbers.csv", 7, "Count", std::to_string(x)});
  return x / 2;
}

TEST(Result, HoldsAValueOrAnError) {
  EXPECT_EQ(*Half(8), 4);
  ASSERT_FALSE(Half(3).ok());
  EXPECT_EQ(Half(3).error().code, ErrorCode::kBadInput);
}

TEST(Error, NamesFileLineColumnAndValueInOneLine) {
  EXPECT_EQ(Half(3).error().ToString(), "numbers.csv, line 7, column Count, value '3': odd");
  EXPECT_EQ(BadInput("bad", {"", {}, "", "a\nb"}).ToString(), "value 'a b': bad");
  EXPECT_EQ(BadRequest("no such day").ToString(), "no such day");
}

TEST(ErrorCode, MapsToTheExitCodesOfTheProgram) {
  EXPECT_EQ(ExitCodeOf(ErrorCode::kBadRequest), 2);
  EXPECT_EQ(ExitCodeOf(ErrorCode::kBadInput), 2);
  EXPECT_EQ(ExitCodeOf(ErrorCode::kInfeasible), 1);
  EXPECT_EQ(ExitCodeOf(ErrorCode::kInternal), 3);
}

}  // namespace
}  // namespace lastreach
