#include "map/street_name.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

TEST(StreetName, SpellingsOfOneStreetAreEqual) {
  for (const char* written : {"N. Elm St", "NORTH ELM STREET", "n elm  st.", "North Elm-Street"}) {
    EXPECT_EQ(PlainStreet(written), "north elm street") << written;
  }
  EXPECT_EQ(PlainStreet("Miller's Ct"), "millers court");
  EXPECT_EQ(PlainStreet(""), "");
}

TEST(StreetName, StBeforeANameIsASaint) {
  EXPECT_EQ(PlainStreet("St James St"), "saint james street");
  EXPECT_EQ(PlainStreet("E St James Ave"), "east saint james avenue");
  EXPECT_EQ(PlainStreet("N St"), "north street");
  EXPECT_EQ(PlainStreet("Elm St S"), "elm street south");
}

TEST(StreetName, AnAddressLosesWhatIsNoStreet) {
  EXPECT_EQ(PlainStreetOfAddress("12 Elm St"), "elm street");
  EXPECT_EQ(PlainStreetOfAddress("12A Elm St, Apt 4"), "elm street");
  EXPECT_EQ(PlainStreetOfAddress("12 1/2 Elm St #3"), "elm street");
  EXPECT_EQ(PlainStreetOfAddress("12 Elm St Unit 3"), "elm street");
  EXPECT_EQ(PlainStreetOfAddress("Lindenweg 5"), "lindenweg");
  EXPECT_EQ(PlainStreetOfAddress("12 5th St"), "5th street");
}

TEST(StreetName, ANumberThatIsTheNameStays) {
  EXPECT_EQ(PlainStreetOfAddress("12 County Rd 7"), "county road 7");
  EXPECT_EQ(PlainStreetOfAddress("County Rd 7"), "county road 7");
  EXPECT_EQ(PlainStreetOfAddress("Rt 9"), "route 9");
  EXPECT_EQ(PlainStreetOfAddress("Road 7"), "road 7");
}

TEST(StreetName, AStreetThatBeginsWithANumberIsFoundWithAndWithoutAHouse) {
  const std::string main = PlainStreet("5 Mile Road");
  EXPECT_TRUE(IsOnStreet("5 Mile Rd", main));
  EXPECT_TRUE(IsOnStreet("12 5 Mile Rd", main));
  EXPECT_FALSE(IsOnStreet("5 Mill Rd", main));
  EXPECT_FALSE(IsOnStreet("", ""));
}

}  // namespace
}  // namespace lastreach
