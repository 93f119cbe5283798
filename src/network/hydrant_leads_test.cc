#include "network/hydrant_leads.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

constexpr double kShortestMain_m = 15;

// A main of nodes 0, 1, 2 and a piece from 1 over 3 to a hydrant at 4, `lead_m` long in all.
Network MainWithLead(double lead_m) {
  Network network;
  network.nodes.resize(5);
  network.nodes[0].kind = NodeKind::kSource;
  network.nodes[4].has_hydrant = true;
  const auto add = [&](unsigned from, unsigned to, double length_m) {
    Link link;
    link.from = NodeIndex(from);
    link.to = NodeIndex(to);
    link.length_m.value = length_m;
    network.links.push_back(link);
  };
  add(0, 1, 100);
  add(1, 2, 100);
  add(1, 3, lead_m / 2);
  add(4, 3, lead_m / 2);
  return network;
}

HydrantLeads Found(const Network& network) {
  return FindHydrantLeads(network, Adjacency(network), kShortestMain_m);
}

TEST(HydrantLeads, AFewMetresFromAForkToAHydrantAreOne) {
  const HydrantLeads leads = Found(MainWithLead(10));
  EXPECT_EQ(leads.is_lead, (std::vector<char>{0, 0, 1, 1}));
  EXPECT_EQ(leads.is_hydrant, (std::vector<char>{0, 0, 0, 0, 1}));
  EXPECT_EQ(leads.has_lead, (std::vector<char>{0, 1, 0, 0, 0}));
  EXPECT_EQ(leads.ways_of_main[1], 2U);  // the fork is none of mains
}

TEST(HydrantLeads, APieceAsLongAsAMainIsAMain) {
  EXPECT_EQ(Found(MainWithLead(kShortestMain_m)).is_lead, std::vector<char>(4, 0));
}

TEST(HydrantLeads, APieceThatServesSomebodyIsAMain) {
  Network network = MainWithLead(10);
  Connection house;
  house.link = LinkIndex(2);
  network.connections.push_back(house);
  EXPECT_EQ(Found(network).is_lead, std::vector<char>(4, 0));
}

TEST(HydrantLeads, AHydrantAtTheEndOfItsMainOrWithABlowOffIsNoLead) {
  Network at_end = MainWithLead(10);
  at_end.nodes[4].has_hydrant = false;
  at_end.nodes[2].has_hydrant = true;
  EXPECT_EQ(Found(at_end).is_lead, std::vector<char>(4, 0));
  Network flushed = MainWithLead(10);
  flushed.nodes[4].has_blow_off = true;
  EXPECT_EQ(Found(flushed).is_lead, std::vector<char>(4, 0));
}

}  // namespace
}  // namespace lastreach
