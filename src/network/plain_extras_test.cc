// Leaks, mixing, short pressure and rules of plain tables.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "network/plain_tables.h"
#include "network/test_folder.h"

namespace lastreach {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

std::map<std::string, std::string> Pumped() {
  return {{"nodes.csv",
           "id,kind,elevation_m,demand_l_per_s,head_m,diameter_m,level_m,min_level_m,max_level_m,mixing,"
           "leak_orifice_mm,leak_coefficient\n"
           "S,source,,,50,,,,,,,\n"
           "T,tank,40,,,12,3,0.5,5,first-in-first-out,,\n"
           "U,tank,40,,,12,3,0.5,5,,,\n"
           "A,junction,10,1,,,,,,,4,0.7\n"
           "B,junction,10,1,,,,,,,2.5,\n"},
          {"links.csv",
           "id,kind,from,to,length_m,diameter_mm,roughness,shutoff_head_m,design_flow_l_per_s,design_head_m\n"
           "pump,pump,S,A,,,,40,20,30\n"
           "m,pipe,A,T,10,100,120,,,\n"
           "n,pipe,A,U,10,100,120,,,\n"
           "b,pipe,A,B,10,100,120,,,\n"
           "c,closed,A,B,,,,,,\n"},
          {"rules.csv",
           "link,action,tank,falls_to_m,rises_to_m,at_hour\n"
           "pump,open,T,1.5,,\npump,shut,T,,4.75,\nm,shut,,,,22.5\n"},
          {"options.toml", "[short_pressure]\nnone_below_m = 2\nfull_above_m = 14.5\n"}};
}

TEST(PlainTables, TakeLeaksMixingShortPressureAndRules) {
  const TablesFolder folder(Pumped());
  std::vector<std::string> notes;
  const Result<Network> network = ReadNetworkFolder(folder.path(), &notes);
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_THAT(notes, IsEmpty());
  EXPECT_EQ(network->nodes[1].tank->mixing, TankMixing::kFirstInFirstOut);
  EXPECT_EQ(network->nodes[2].tank->mixing, TankMixing::kMixed);
  EXPECT_EQ(network->nodes[3].leak, (Leak{0.004, 0.7}));
  EXPECT_EQ(network->nodes[4].leak, (Leak{0.0025, 0.6}));
  EXPECT_FALSE(network->nodes[0].leak);
  EXPECT_EQ(network->options.short_pressure, (ShortPressure{2, 14.5}));
  EXPECT_THAT(network->rules, ElementsAre(LinkRule{LinkIndex(0), true, NodeIndex(1), 1.5, {}, {}},
                                          LinkRule{LinkIndex(0), false, NodeIndex(1), {}, 4.75, {}},
                                          LinkRule{LinkIndex(1), false, {}, {}, {}, 22.5}));
}

struct Fault {
  const char* file;
  std::string text;
  const char* says;
  const char* place;  // line, column, value
};

std::string Rule(const std::string& row) { return "link,action,tank,falls_to_m,rises_to_m,at_hour\n" + row; }
std::string Junction(const std::string& row) {
  return "id,kind,elevation_m,head_m,leak_orifice_mm,leak_coefficient,mixing,diameter_m,level_m,min_level_m,"
         "max_level_m\nS,source,,50,,,,,,,\n" +
         row;
}

TEST(PlainTables, NameTheFaultOfARuleALeakOrAnOption) {
  const std::vector<Fault> faults = {
      {"rules.csv", Rule("q,open,,,,4\n"), "links.csv has no such link", "line 2, column link, value 'q'"},
      {"rules.csv", Rule("c,open,,,,4\n"), "a link of kind closed has no rules", "'c'"},
      {"rules.csv", Rule("m,close,,,,4\n"), "one of open, shut", "column action, value 'close'"},
      {"rules.csv", Rule("m,open,Q,2,,\n"), "nodes.csv has no such node", "column tank, value 'Q'"},
      {"rules.csv", Rule("m,open,A,2,,\n"), "this is no tank with levels", "column tank, value 'A'"},
      {"rules.csv", Rule("m,open,,2,,\n"), "needs the tank whose level it is", "column tank"},
      {"rules.csv", Rule("m,open,T,,,4\n"), "a rule by hour has no use for a tank", "column tank, value 'T'"},
      {"rules.csv", Rule("m,open,T,2,3,\n"), "one of falls_to_m, rises_to_m and at_hour", "'2'"},
      {"rules.csv", Rule("m,open,,,,\n"), "one of falls_to_m, rises_to_m and at_hour", "line 2"},
      {"rules.csv", Rule("m,open,T,6,,\n"), "between the tank's lowest and highest",
       "column falls_to_m, value '6'"},
      {"rules.csv", Rule("m,open,T,,0.2,\n"), "between the tank's lowest and highest",
       "column rises_to_m, value '0.2'"},
      {"rules.csv", Rule("m,open,,,,24.5\n"), "between 0 and 24", "column at_hour, value '24.5'"},
      {"rules.csv", Rule("m,open,,,,noon\n"), "not a number", "column at_hour, value 'noon'"},
      {"nodes.csv", Junction("A,junction,5,,-1,,,,,,\n"), "must be above 0",
       "column leak_orifice_mm, value '-1'"},
      {"nodes.csv", Junction("A,junction,5,,3,0,,,,,\n"), "must be above 0",
       "column leak_coefficient, value '0'"},
      {"nodes.csv", Junction("A,junction,5,,,0.6,,,,,\n"), "needs the width of its hole",
       "column leak_orifice_mm"},
      {"nodes.csv", Junction("A,junction,,,3,,,,,,\n"), "a leak needs the elevation", "column elevation_m"},
      {"nodes.csv", Junction("T,tank,5,,,,stirred,9,2,1,3\n"), "one of mixed, first-in-first-out",
       "column mixing, value 'stirred'"},
      {"options.toml", "[short_pressure]\nnone_below_m = 2\n", "go together", "short_pressure.none_below_m"},
      {"options.toml", "[short_pressure]\nfull_above_m = 2\n", "go together", "short_pressure.full_above_m"},
      {"options.toml", "[short_pressure]\nnone_below_m = 2\nfull_above_m = 2\n", "must be above none_below_m",
       "line 3"},
      {"options.toml", "[short_pressure]\nnone_below_m = \"low\"\nfull_above_m = 2\n", "not a number", "low"},
      {"options.toml", "short_pressure = 3\n", "a [short_pressure] table is wanted", "line 1"},
  };
  for (const Fault& fault : faults) {
    auto files = Pumped();
    files[fault.file] = fault.text;
    const TablesFolder folder(files);
    const Result<Network> network = ReadNetworkFolder(folder.path());
    ASSERT_FALSE(network.ok()) << fault.file << " " << fault.text;
    EXPECT_THAT(network.error().ToString(),
                AllOf(HasSubstr(fault.file), HasSubstr(fault.says), HasSubstr(fault.place)));
  }
}

TEST(PlainTables, SayWhichOfTheseTheyHadNoUseFor) {
  auto files = Pumped();
  files["nodes.csv"] =
      "id,kind,elevation_m,head_m,diameter_m,level_m,min_level_m,max_level_m,mixing,leak_orifice_mm\n"
      "S,source,,50,,,,,,3\nT,tank,40,,12,3,0.5,5,,\nU,tank,40,44,,,,,mixed,\nA,junction,10,,,,,,mixed,0\n"
      "B,junction,10,,,,,,,\n";
  files["options.toml"] = "[short_pressure]\nhalf_at_m = 3\n";
  const TablesFolder folder(files);
  std::vector<std::string> notes;
  const Result<Network> network = ReadNetworkFolder(folder.path(), &notes);
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_THAT(notes, testing::UnorderedElementsAre(
                         HasSubstr("short_pressure.half_at_m"),
                         AllOf(HasSubstr("a source has no use for this"), HasSubstr("leak_orifice_mm")),
                         AllOf(HasSubstr("a tank of fixed head has no use for this"), HasSubstr("mixing")),
                         AllOf(HasSubstr("a junction has no use for this"), HasSubstr("mixing"))));
  EXPECT_FALSE(network->nodes[0].leak);
  EXPECT_FALSE(network->nodes[3].leak);
  EXPECT_FALSE(network->options.short_pressure);
}

TEST(PlainTables, WriteNothingOfARuleThatReadingWouldRefuse) {
  const TablesFolder folder(Pumped());
  Network network = *ReadNetworkFolder(folder.path());
  network.rules[2].at_hour = 25;
  const TablesFolder empty({});
  const Status written = WriteNetworkFolder(network, empty.path());
  ASSERT_FALSE(written.ok());
  EXPECT_THAT(written.error().ToString(), AllOf(HasSubstr("rules.csv"), HasSubstr("'m'")));
}

}  // namespace
}  // namespace lastreach
