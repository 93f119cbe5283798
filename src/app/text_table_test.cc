#include "app/text_table.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

TEST(TextTable, ColumnsAreAsWideAsTheirWidestCellInLettersNotBytes) {
  EXPECT_EQ(TextTable({{"id", "where", "m"}, {"E1", "Mühlgasse", "7"}, {"E10", "Elm", "200"}}),
            "  id  where     m\n"
            "  E1  Mühlgasse 7\n"
            "  E10 Elm       200\n");
}

TEST(TextTable, ALongWordIsCutAtALetter) {
  EXPECT_EQ(Shortened("Elm Street", 10), "Elm Street");
  EXPECT_EQ(Shortened("Elm Street", 9), "Elm Str..");
  EXPECT_EQ(Shortened("Möööööööhl", 4), "Mö..");
}

TEST(TextTable, NumbersHaveTwoDigitsAndNoPowerOfTen) {
  EXPECT_EQ(TwoFigures(0), "0");
  EXPECT_EQ(TwoFigures(0.0432), "0.043");
  EXPECT_EQ(TwoFigures(0.43), "0.43");
  EXPECT_EQ(TwoFigures(7.84), "7.8");
  EXPECT_EQ(TwoFigures(9.96), "10");
  EXPECT_EQ(TwoFigures(18.4), "18");
  EXPECT_EQ(TwoFigures(195.5), "200");
  EXPECT_EQ(TwoFigures(1234), "1200");
}

}  // namespace
}  // namespace lastreach
