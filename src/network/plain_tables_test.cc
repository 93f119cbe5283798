#include "network/plain_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <numeric>

#include "network/test_folder.h"

namespace lastreach {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;

const char* const kNodes =
    "id,kind,elevation_m,demand_l_per_s,head_m,pattern\n"
    "S,source,210,0,210,\n"
    "A,junction,150,27.5,,day\n"
    "B,junction,,0.25,,\n";
const char* const kLinks =
    "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
    "1,pipe,S,A,1000,300,130,0.5\n"
    "2,check,A,B,250.5,100,,\n";
const char* const kPatterns = "pattern,hour,factor\nday,0,0.5\nday,1,1.5\n";

Node Named(const char* id) {
  Node node;
  node.id = id;
  return node;
}

std::map<std::string, std::string> Sound() {
  return {{"nodes.csv", kNodes}, {"links.csv", kLinks}, {"patterns.csv", kPatterns}};
}

TEST(PlainTables, GiveTheNetworkInSiWithItsOrigin) {
  const TablesFolder folder(Sound());
  const Result<Network> network = ReadNetworkFolder(folder.path());
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  ASSERT_EQ(network->nodes.size(), 3U);
  ASSERT_EQ(network->links.size(), 2U);
  EXPECT_EQ(network->nodes[0].kind, NodeKind::kSource);
  EXPECT_EQ(network->nodes[0].head_m, 210.0);
  EXPECT_EQ(network->nodes[1].demand_m3_per_s, 0.0275);
  EXPECT_EQ(network->nodes[1].elevation_m->value, 150);
  EXPECT_EQ(network->nodes[1].elevation_m->origin.kind, OriginKind::kTyped);
  EXPECT_EQ(network->nodes[1].pattern, "day");
  EXPECT_FALSE(network->nodes[2].elevation_m);
  EXPECT_EQ(network->links[0].inner_diameter_m->value, 0.3);
  EXPECT_EQ(network->links[0].roughness->value, 130);
  EXPECT_EQ(network->links[0].minor_loss, 0.5);
  EXPECT_EQ(network->links[1].kind, LinkKind::kCheck);
  EXPECT_EQ(At(network->links[1].from), 1U);
  EXPECT_FALSE(network->links[1].roughness);
  ASSERT_EQ(network->patterns.size(), 1U);
  EXPECT_THAT(network->patterns[0].factors, ElementsAre(0.5, 1.5));
  EXPECT_EQ(network->options, NetworkOptions{});
}

TEST(PlainTables, RoughnessIsMillimetresWithDarcyWeisbach) {
  auto files = Sound();
  files["options.toml"] = "head_loss = \"darcy-weisbach\"\n";
  files["links.csv"] = "id,kind,from,to,length_m,diameter_mm,roughness\n1,pipe,S,A,1000,300,0.25\n";
  const TablesFolder folder(files);
  const Result<Network> network = ReadNetworkFolder(folder.path());
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_EQ(network->links[0].roughness->value, 0.00025);
}

TEST(PlainTables, TakeEveryKindOfNodeAndLink) {
  auto files = Sound();
  files["nodes.csv"] =
      "id,kind,elevation_m,head_m,diameter_m,level_m,min_level_m,max_level_m,chlorine_mg_per_l,x_m,y_m\n"
      "S,source,,50,,,,,1.2,0,0\nT,tank,40,,12,3,0.5,5,,100,20\nA,junction,10,,,,,,,,\nB,junction,10,,,,,,,,"
      "\n";
  files["links.csv"] =
      "id,kind,from,to,length_m,diameter_mm,shutoff_head_m,design_flow_l_per_s,design_head_m,setting_m,"
      "setting_l_per_s,bulk_per_day,wall_m_per_day\n"
      "p,pump,S,A,,,40,20,30,,,,\nr,reducing,A,B,,200,,,,35,,,\ns,sustaining,A,B,,200,,,,25,,,\n"
      "l,limiting,A,B,,200,,,,,4.5,,\nc,closed,B,T,0,,,,,,,,\nm,pipe,B,T,10,100,,,,,,0.5,0.1\n";
  files["runs.csv"] =
      "node,start_hour,minutes,flow_l_per_s,orifice_mm,coefficient\nA,1.5,30,4,,\nB,2,10,,50,0.8\n";
  files["options.toml"] = "temperature_c = 12\n[chlorine]\nbulk_per_day = 0.4\n";
  const TablesFolder folder(files);
  std::vector<std::string> notes;
  const Result<Network> network = ReadNetworkFolder(folder.path(), &notes);
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_THAT(notes, ElementsAre());
  EXPECT_EQ(network->nodes[0].chlorine_mg_per_l, 1.2);
  EXPECT_EQ(network->nodes[1].tank, (TankShape{12, 3, 0.5, 5}));
  EXPECT_EQ(network->nodes[1].xy_m, std::make_pair(100.0, 20.0));
  EXPECT_EQ(network->links[0].pump, (PumpCurve{40, 0.02, 30}));
  EXPECT_EQ(network->links[1].setting, 35.0);
  EXPECT_EQ(network->links[3].setting, 0.0045);
  EXPECT_TRUE(IsShut(network->links[4]));
  EXPECT_EQ(network->links[5].bulk_per_day, 0.5);
  ASSERT_EQ(network->runs.size(), 2U);
  EXPECT_EQ(network->runs[0].flow_m3_per_s, 0.004);
  EXPECT_EQ(network->runs[1].orifice_m, 0.05);
  EXPECT_EQ(network->options.bulk_per_day, 0.4);
  EXPECT_EQ(network->options.temperature_c, 12);
}

TEST(PlainTables, TakeTheTwoReactantsOfChlorine) {
  auto files = Sound();
  files["options.toml"] =
      "[chlorine]\nwall_m_per_day = 0.1\n[chlorine.two_reactants]\nfast_l_per_mg_per_day = 12\n"
      "slow_l_per_mg_per_day = 0.24\nfast_mg_per_l = 0.5\nslow_mg_per_l = 1.5\nthm_ug_per_mg = 40\nsmell = "
      "1\n";
  const TablesFolder folder(files);
  std::vector<std::string> notes;
  const Result<Network> network = ReadNetworkFolder(folder.path(), &notes);
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_EQ(network->options.two_reactants, (TwoReactants{12, 0.24, 0.5, 1.5, 40, 0}));
  EXPECT_EQ(network->options.wall_m_per_day, 0.1);
  EXPECT_THAT(notes, ElementsAre(HasSubstr("the option chlorine.two_reactants.smell")));
}

TEST(PlainTables, SayWhatTheyDidNotRead) {
  auto files = Sound();
  files["nodes.csv"] = "id,kind,colour,head_m\nS,source,blue,10\nA,junction,red,12\nB,junction,,0\n";
  files["patterns.csv"] = kPatterns;
  files["options.toml"] = "colour = 3\n[chlorine]\nsmell = 1\n";
  const TablesFolder folder(files);
  std::vector<std::string> notes;
  const Result<Network> network = ReadNetworkFolder(folder.path(), &notes);
  ASSERT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_THAT(notes, testing::UnorderedElementsAre(HasSubstr("the option colour"),
                                                   HasSubstr("the option chlorine.smell"),
                                                   HasSubstr("the column colour"),
                                                   AllOf(HasSubstr("line 3, column head_m, value '12'"))));
}

struct Fault {
  const char* file;
  const char* content;
  const char* line;  // of the answer
};
class EveryFault : public testing::TestWithParam<Fault> {};

TEST_P(EveryFault, IsOneLineWithFileLineColumnAndValue) {
  auto files = Sound();
  files[GetParam().file] = GetParam().content;
  const TablesFolder folder(files);
  const Result<Network> network = ReadNetworkFolder(folder.path());
  ASSERT_FALSE(network.ok());
  EXPECT_EQ(network.error().code, ErrorCode::kBadInput);
  const std::string line = network.error().ToString();
  EXPECT_THAT(line, AllOf(HasSubstr(GetParam().file), HasSubstr(GetParam().line)));
  EXPECT_EQ(line.find('\n'), std::string::npos);
}

#define LINKS(row) \
  "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss,setting_m,setting_l_per_s\n" row "\n"
#define TANK(row) \
  "id,kind,elevation_m,diameter_m,level_m,min_level_m,max_level_m,head_m\n" row "\nS,source,,,,,,5\n"
INSTANTIATE_TEST_SUITE_P(
    OfNodes, EveryFault,
    testing::Values(
        Fault{"nodes.csv", "id,kind\nA,spring\n",
              "line 2, column kind, value 'spring': a node is one of junction"},
        Fault{"nodes.csv", "id,kind\nA,junction\nA,junction\n", "line 3, column id, value 'A': another node"},
        Fault{"nodes.csv", "id,kind\n,junction\n", "line 2, column id"},
        Fault{"nodes.csv", "id,kind,elevation_m\nA,junction,nan\n",
              "column elevation_m, value 'nan': this is not"},
        Fault{"nodes.csv", "id,kind,demand_l_per_s\nA,junction,inf\n", "column demand_l_per_s, value 'inf'"},
        Fault{"nodes.csv", "id,kind\nS,source\n", "line 2, column head_m: a source needs a head"},
        Fault{"nodes.csv", "id,kind,pattern\nA,junction,night\n", "column pattern, value 'night'"},
        Fault{"nodes.csv", "id,kind,x_m\nA,junction,3\n", "column y_m: x_m and y_m go together"},
        Fault{"nodes.csv", "id,kind,chlorine_mg_per_l,head_m\nS,source,-1,4\n",
              "column chlorine_mg_per_l, value '-1'"},
        Fault{"nodes.csv", "id,kind\n", "the network has no node"},
        Fault{"nodes.csv", "", "the file is empty"},
        Fault{"nodes.csv", TANK("T,tank,4,12,6,0,5,"), "column level_m, value '6'"},
        Fault{"nodes.csv", TANK("T,tank,4,12,3,5,5,"), "column max_level_m, value '5'"},
        Fault{"nodes.csv", TANK("T,tank,4,0,3,0,5,"), "column diameter_m, value '0'"},
        Fault{"nodes.csv", TANK("T,tank,4,12,3,0,,"), "column max_level_m: this cell must not be blank"},
        Fault{"nodes.csv", TANK("T,tank,,12,3,0,5,"), "column elevation_m"},
        Fault{"nodes.csv", TANK("T,tank,4,,,,,"), "column diameter_m"}));
INSTANTIATE_TEST_SUITE_P(
    OfLinks, EveryFault,
    testing::Values(
        Fault{"links.csv", LINKS("1,canal,S,A,1,1,1,0,,"), "line 2, column kind, value 'canal'"},
        Fault{"links.csv", LINKS("1,pipe,S,Z,1,1,1,0,,"),
              "line 2, column to, value 'Z': nodes.csv has no such node"},
        Fault{"links.csv", LINKS("1,pipe,,A,1,1,1,0,,"), "column from"},
        Fault{"links.csv", LINKS("1,pipe,A,A,1,1,1,0,,"),
              "column to, value 'A': the link goes from a node to itself"},
        Fault{"links.csv", LINKS("1,pipe,S,A,-1,1,1,0,,"), "column length_m, value '-1'"},
        Fault{"links.csv", LINKS("1,pipe,S,A,,1,1,0,,"), "column length_m: this cell must not be blank"},
        Fault{"links.csv", LINKS("1,pipe,S,A,1,-100,1,0,,"), "column diameter_mm, value '-100'"},
        Fault{"links.csv", LINKS("1,pipe,S,A,1,0,1,0,,"), "column diameter_mm, value '0'"},
        Fault{"links.csv", LINKS("1,pipe,S,A,1,1,0,0,,"), "column roughness, value '0'"},
        Fault{"links.csv", LINKS("1,pipe,S,A,1,1,1,-2,,"), "column minor_loss, value '-2'"},
        Fault{"links.csv", LINKS("1,pipe,S,A,1,1,1,0,,\n1,pipe,S,A,1,1,1,0,,"),
              "line 3, column id, value '1'"},
        Fault{"links.csv", LINKS("1,pump,S,A,,,,,,"), "column shutoff_head_m: a pump needs its curve"},
        Fault{"links.csv", LINKS("1,reducing,S,A,,100,,,,"), "column setting_m"},
        Fault{"links.csv", LINKS("1,limiting,S,A,,100,,,,-3"), "column setting_l_per_s, value '-3'"},
        Fault{"links.csv",
              "id,kind,from,to,shutoff_head_m,design_flow_l_per_s,design_head_m\n1,pump,S,A,30,5,30\n",
              "column shutoff_head_m, value '30'"},
        Fault{"links.csv", "id,kind,from,to,length_m,bulk_per_day\n1,pipe,S,A,1,-0.5\n",
              "column bulk_per_day, value '-0.5'"},
        Fault{"links.csv", "id,kind,from\n1,pipe,S\n", "there is no column to"}));
INSTANTIATE_TEST_SUITE_P(
    OfTheRest, EveryFault,
    testing::Values(
        Fault{"patterns.csv", "pattern,hour,factor\nday,0,1\nday,2,1\n",
              "line 3, column pattern, value 'day': hour 1"},
        Fault{"patterns.csv", "pattern,hour,factor\nday,0,1\nday,0,1\n", "line 3, column hour, value '0'"},
        Fault{"patterns.csv", "pattern,hour,factor\nday,0.5,1\n", "column hour, value '0.5'"},
        Fault{"patterns.csv", "pattern,hour,factor\nday,0,-1\n", "column factor, value '-1'"},
        Fault{"patterns.csv", "pattern,hour,factor\nday,99999999,1\n", "column hour, value '99999999'"},
        Fault{"runs.csv", "node,start_hour,minutes,flow_l_per_s\nZ,0,1,1\n", "column node, value 'Z'"},
        Fault{"runs.csv", "node,start_hour,minutes,flow_l_per_s\nA,0,0,1\n", "column minutes, value '0'"},
        Fault{"runs.csv", "node,start_hour,minutes,flow_l_per_s\nA,-1,1,1\n",
              "column start_hour, value '-1'"},
        Fault{"runs.csv", "node,start_hour,minutes\nA,0,1\n", "column flow_l_per_s: a run needs a flow"},
        Fault{"runs.csv", "node,start_hour,minutes,orifice_mm\nA,0,1,50\n", "column coefficient"},
        Fault{"options.toml", "head_loss = \"manning\"\n", "line 1, column head_loss, value"},
        Fault{"options.toml", "\nviscosity_m2_per_s = 0\n", "line 2, column viscosity_m2_per_s, value '0'"},
        Fault{"options.toml", "[chlorine]\nbulk_per_day = -1\n",
              "line 2, column chlorine.bulk_per_day, value '-1'"},
        Fault{"options.toml", "[chlorine]\ntwo_reactants = 2\n", "line 2, column chlorine.two_reactants"},
        Fault{"options.toml", "[chlorine.two_reactants]\nfast_mg_per_l = -1\n",
              "line 2, column chlorine.two_reactants.fast_mg_per_l, value '-1'"},
        Fault{"options.toml", "[chlorine.two_reactants]\nthm_ug_per_mg = \"much\"\n",
              "line 2, column chlorine.two_reactants.thm_ug_per_mg"},
        Fault{"options.toml", "temperature_c = \"warm\"\n", "column temperature_c"},
        Fault{"options.toml", "temperature_c = nan\n", "column temperature_c"},
        Fault{"options.toml", "= 3\n", "line 1: this is not TOML"}));

TEST(PlainTables, AMissingTableIsNotFound) {
  EXPECT_EQ(ReadNetworkFolder("no/such/folder").error().code, ErrorCode::kNotFound);
  auto files = Sound();
  files.erase("links.csv");
  const TablesFolder folder(files);
  const Result<Network> network = ReadNetworkFolder(folder.path());
  ASSERT_FALSE(network.ok());
  EXPECT_EQ(network.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(network.error().ToString(), HasSubstr("links.csv"));
}

TEST(PlainTables, AreWrittenWithTheColumnsInUse) {
  const TablesFolder folder(Sound());
  const Result<Network> network = ReadNetworkFolder(folder.path());
  ASSERT_TRUE(network.ok());
  ASSERT_TRUE(WriteNetworkFolder(*network, folder.path()).ok());
  EXPECT_EQ(folder.Text("nodes.csv"), kNodes);
  EXPECT_EQ(folder.Text("links.csv"),
            "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
            "1,pipe,S,A,1000,300,130,0.5\n2,check,A,B,250.5,100,,0\n");
}

TEST(PlainTables, AFileOfAnEarlierNetworkIsEmptiedNotKept) {
  const TablesFolder folder(Sound());
  Network network;
  network.nodes.push_back(Named("only"));
  ASSERT_TRUE(WriteNetworkFolder(network, folder.path()).ok());
  const Result<Network> read = ReadNetworkFolder(folder.path());
  ASSERT_TRUE(read.ok()) << read.error().ToString();
  EXPECT_TRUE(read->patterns.empty());
}

TEST(PlainTables, ThatCouldNotBeReadAreNotWritten) {
  const TablesFolder folder(Sound());
  Network network;
  network.nodes = {Named("A"), Named("B")};
  Link pump;
  pump.id = "1";
  pump.kind = LinkKind::kPump;
  pump.to = NodeIndex{1};
  network.links.push_back(pump);
  const Status status = WriteNetworkFolder(network, folder.path());
  ASSERT_FALSE(status.ok());
  EXPECT_THAT(status.error().ToString(), HasSubstr("a pump needs its curve"));
  EXPECT_EQ(folder.Text("links.csv"), kLinks);
}

TEST(PlainTables, CustomersAlongALinkDrawMostAtTheNearerEnd) {
  Network network;
  network.nodes = {Named("A"), Named("B")};
  network.nodes[0].demand_m3_per_s = 0.001;
  Link link;
  link.to = NodeIndex{1};
  link.length_m.value = 100;
  network.links.push_back(link);
  Connection connection;
  connection.along_m = 25;
  connection.demand_m3_per_s.value = 0.004;
  network.connections.push_back(connection);
  EXPECT_THAT(DemandAtNodes(network), ElementsAre(testing::DoubleEq(0.004), testing::DoubleEq(0.001)));
}

}  // namespace
}  // namespace lastreach
