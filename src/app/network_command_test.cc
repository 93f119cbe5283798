#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "network/plain_tables.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

class NetworkCommand : public WithAProject {
 protected:
  NetworkCommand() {
    std::filesystem::create_directories(Path("plain"));
    Write("plain/nodes.csv",
          "id,kind,elevation_m,demand_l_per_s,head_m,pattern\n"
          "Plant,source,210,0,214,\n"
          "A,junction,150,27.5,,day\n"
          "End,junction,148,0.4,,day\n");
    Write("plain/links.csv",
          "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
          "1,pipe,Plant,A,1000,300,130,0\n"
          "2,pipe,A,End,250,100,110,0.5\n");
    Write("plain/patterns.csv", "pattern,hour,factor\nday,0,0.5\nday,1,1.5\n");
    Write("plain/runs.csv", "node,start_hour,minutes,flow_l_per_s\nEnd,2,30,4\n");
  }
  Project Opened() const { return std::move(*Project::Open(project_)); }
};

TEST_F(NetworkCommand, AFolderOfTablesBecomesTheProjectsNetworkAndComesOutAgain) {
  const Answer in = Import(Path("plain"), "network");
  ExpectDone(in);
  EXPECT_THAT(in.out, HasSubstr("3 nodes, 2 links, 1 patterns, 1 runs came in"));
  const Network read = *ReadNetworkFolder(Path("plain"));
  EXPECT_EQ(**Opened().LoadNetwork(), read);
  EXPECT_EQ(*Opened().NetworkMadeFrom(), "tables");
  EXPECT_EQ(Opened().Imports()->back().kind, "network");

  const Answer out = RunProgram({"network", project_, "--out", Path("again"), "--json"});
  ExpectDone(out);
  EXPECT_EQ(Json::parse(out.out),
            Json::parse(R"({"folder": ")" + Path("again") + R"(", "nodes": 3, "links": 2})"));
  EXPECT_EQ(*ReadNetworkFolder(Path("again")), read);
}

TEST_F(NetworkCommand, PreviewWritesNothing) {
  const Answer answer = Import(Path("plain"), "network", {"--preview", "--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("written"), false);
  EXPECT_EQ(json.at("nodes"), 3);
  EXPECT_FALSE(Opened().LoadNetwork()->has_value());
}

TEST_F(NetworkCommand, ATableAtFaultIsNamedAndTheOldNetworkStays) {
  ExpectDone(Import(Path("plain"), "network"));
  Write("plain/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n1,pipe,Plant,Nowhere,1000,300,130,0\n");
  ExpectRefused(Import(Path("plain"), "network"), {"links.csv", "line 2", "'Nowhere'"});
  EXPECT_EQ(Opened().LoadNetwork()->value().links.size(), 2U);
  ExpectRefused(Import(Path("nowhere"), "network"), {Path("nowhere")});
  ExpectRefused(RunProgram({"import", project_, "--as", "network"}), {"folder"});
}

TEST_F(NetworkCommand, WithoutANetworkTheWayToOneIsSaid) {
  ExpectRefused(RunProgram({"network", project_, "--out", Path("out")}), {project_, "lastreach map"});
  EXPECT_FALSE(std::filesystem::exists(Path("out")));
}

// One metre north is 1/111 km or so anywhere: [Snyder1987] p. 25 gives 110.85 km a degree at 30 degrees.
TEST_F(NetworkCommand, NodesOfAMapComeOutInMetres) {
  Network network = *ReadNetworkFolder(Path("plain"));
  network.nodes[0].at = Position{-94, 30};
  network.nodes[1].at = Position{-94, 30.01};
  network.nodes[2].at = Position{-94, 30.005};
  {
    Project project = Opened();
    ASSERT_TRUE(project.PutNetwork(network, "map").ok());
  }
  ExpectDone(RunProgram({"network", project_, "--out", Path("flat")}));
  const Network flat = *ReadNetworkFolder(Path("flat"));
  ASSERT_TRUE(flat.nodes[0].xy_m && flat.nodes[1].xy_m);
  EXPECT_NEAR(flat.nodes[1].xy_m->second - flat.nodes[0].xy_m->second, 1108.5, 0.1);
  EXPECT_NEAR(flat.nodes[1].xy_m->first, flat.nodes[0].xy_m->first, 1e-3);
}

}  // namespace
}  // namespace lastreach
