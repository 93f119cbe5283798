#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/origin.h"
#include "core/position.h"
#include "core/quantity.h"
#include "core/result.h"
#include "network/drawing.h"

namespace lastreach {

// Index of a node or a link in its network; the two cannot be mixed up.
enum class NodeIndex : uint32_t {};
enum class LinkIndex : uint32_t {};
constexpr size_t At(NodeIndex node) { return static_cast<size_t>(node); }
constexpr size_t At(LinkIndex link) { return static_cast<size_t>(link); }

// The words of both enums are those of the plain tables (docs/formats/network-tables.md): never change them.
enum class NodeKind { kJunction, kSource, kTank };
enum class LinkKind { kPipe, kCheck, kPump, kReducing, kSustaining, kLimiting, kClosed };

// How water of different ages meets in a tank. The words are those of the plain tables: never change them.
enum class TankMixing { kMixed, kFirstInFirstOut };  // "mixed", "first-in-first-out"

struct TankShape {
  double diameter_m = 0;
  double level_m = 0;  // of the water above the node's elevation, now
  double min_level_m = 0;
  double max_level_m = 0;
  TankMixing mixing = TankMixing::kMixed;
  friend bool operator==(const TankShape&, const TankShape&) = default;
};

// A hole that always lets out c A sqrt(2 g p), p the pressure at its node: a leak.
struct Leak {
  double orifice_m = 0;
  double coefficient = 0.6;  // of a sharp-edged hole
  friend bool operator==(const Leak&, const Leak&) = default;
};

struct Node {
  std::string id;  // unique in the network
  NodeKind kind = NodeKind::kJunction;
  std::optional<Sourced<double>> elevation_m;
  double demand_m3_per_s = 0;     // drawn at the node itself, average
  std::optional<double> head_m;   // of a source
  std::string pattern;            // of the demand, or of a source's head; empty for none
  std::optional<TankShape> tank;  // of a tank
  std::optional<Leak> leak;
  std::optional<double> chlorine_mg_per_l;        // of a source
  std::optional<Position> at;                     // where there is a map
  std::optional<std::pair<double, double>> xy_m;  // as a plain table gives it
  std::string zone;
  std::vector<FeatureKey> things;  // hydrants, blow-offs, fittings, tanks that stand here
  bool has_hydrant = false;
  bool has_blow_off = false;
  friend bool operator==(const Node&, const Node&) = default;
};

struct PumpCurve {
  double shutoff_head_m = 0;
  double design_flow_m3_per_s = 0;
  double design_head_m = 0;
  friend bool operator==(const PumpCurve&, const PumpCurve&) = default;
};

struct Link {
  std::string id;  // unique in the network
  LinkKind kind = LinkKind::kPipe;
  NodeIndex from{};
  NodeIndex to{};
  Sourced<double> length_m;
  std::optional<Sourced<double>> inner_diameter_m;
  std::optional<Sourced<double>> roughness;  // Hazen-Williams C, or metres where the options say so
  double minor_loss = 0;
  std::optional<PumpCurve> pump;
  std::optional<double> setting;  // m of reducing and sustaining, m3/s of limiting
  std::optional<double> bulk_per_day;
  std::optional<double> wall_m_per_day;
  std::string material;
  std::optional<int> year_laid;
  std::string street;
  std::string zone;
  std::optional<FeatureKey> main;  // the drawn line this is a piece of
  double main_from_m = 0;          // where on that line it begins and ends, from the line's start
  double main_to_m = 0;
  std::vector<Position> line;     // from `from` to `to`; empty without a map
  bool material_assumed = false;  // the material is that of neighbours
  friend bool operator==(const Link&, const Link&) = default;
};

// Customers that draw at one place along a link.
struct Connection {
  LinkIndex link{};
  double along_m = 0;  // from the link's `from` end
  int count = 1;
  Sourced<double> demand_m3_per_s;  // of all of them, average
  FeatureKey service;
  friend bool operator==(const Connection&, const Connection&) = default;
};

struct Pattern {
  std::string id;
  std::vector<double> factors;  // one an hour, repeated
  friend bool operator==(const Pattern&, const Pattern&) = default;
};

enum class HeadLoss { kHazenWilliams, kDarcyWeisbach };

// Demand where pressure is short: all of it from `full_above_m` up, none from `none_below_m` down, between
// them the share ((p - none) / (full - none))^(1/2). SOURCE: Wagner, Shamir and Marks, J. Water Resour. Plan.
// Manag. 114(3), 276-294, 1988 (from memory).
struct ShortPressure {
  double none_below_m = 0;
  double full_above_m = 0;
  friend bool operator==(const ShortPressure&, const ShortPressure&) = default;
};

// What holds for the whole network. DEFAULT: docs/formats/network-tables.md.
// Chlorine used up by two kinds of matter side by side, in place of a bulk rate; what all water that enters
// has of them, and THM with it. Rates are those at the network's temperature.
struct TwoReactants {
  double fast_l_per_mg_per_day = 0;
  double slow_l_per_mg_per_day = 0;
  double fast_mg_per_l = 0;  // as the chlorine it can use up
  double slow_mg_per_l = 0;
  double thm_ug_per_mg = 0;  // formed by a milligram of chlorine used up in the bulk
  double thm_ug_per_l = 0;   // in water that enters
  friend bool operator==(const TwoReactants&, const TwoReactants&) = default;
};

struct NetworkOptions {
  HeadLoss head_loss = HeadLoss::kHazenWilliams;
  double hazen_williams_constant = 10.667;
  double viscosity_m2_per_s = 1.004e-6;
  double bulk_per_day = 0;
  double wall_m_per_day = 0;
  double diffusivity_m2_per_s = 1.21e-9;
  double temperature_c = 20;
  std::optional<ShortPressure> short_pressure;  // none: demands are drawn whatever the pressure
  std::optional<TwoReactants> two_reactants;    // none: loss in the bulk is of first order
  friend bool operator==(const NetworkOptions&, const NetworkOptions&) = default;
};

// Water drawn by a device at a node, of a plain folder.
struct NodeRun {
  NodeIndex node{};
  double start_hour = 0;
  double minutes = 0;
  std::optional<double> flow_m3_per_s;  // or through an opening:
  std::optional<double> orifice_m;
  std::optional<double> coefficient;
  friend bool operator==(const NodeRun&, const NodeRun&) = default;
};

// What opens or shuts a link by itself, a pump above all: a tank's level as it passes a mark, or the hour of
// each day. One of the three conditions.
struct LinkRule {
  LinkIndex link{};
  bool opens = true;              // else it shuts
  std::optional<NodeIndex> tank;  // whose level is watched
  std::optional<double> falls_to_m;
  std::optional<double> rises_to_m;
  std::optional<double> at_hour;  // 0 to 24, every day; hour 0 of a simulation is midnight
  friend bool operator==(const LinkRule&, const LinkRule&) = default;
};

// A water network: nodes joined by links. From a map (map/), from plain tables (plain_tables.h) or by hand.
struct Network {
  std::vector<Node> nodes;
  std::vector<Link> links;
  std::vector<Connection> connections;  // in order of link, then along it
  std::vector<Pattern> patterns;
  std::vector<NodeRun> runs;
  std::vector<LinkRule> rules;
  NetworkOptions options;

  const Node& operator[](NodeIndex node) const { return nodes[At(node)]; }
  Node& operator[](NodeIndex node) { return nodes[At(node)]; }
  const Link& operator[](LinkIndex link) const { return links[At(link)]; }
  Link& operator[](LinkIndex link) { return links[At(link)]; }
  friend bool operator==(const Network&, const Network&) = default;
};

// Water held by a link, pi d^2 L / 4 [m3]; 0 where it has no diameter or is no pipe.
double VolumeOf_m3(const Link& link);

// True of links water never passes: closed.
bool IsShut(const Link& link);

std::string_view ToText(NodeKind kind);  // "junction", "source", "tank"
std::string_view ToText(
    LinkKind kind);  // "pipe", "check", "pump", "reducing", "sustaining", "limiting", "closed"
std::string_view ToText(TankMixing mixing);  // "mixed", "first-in-first-out"
Result<NodeKind> ParseNodeKind(std::string_view text);
Result<LinkKind> ParseLinkKind(std::string_view text);
Result<TankMixing> ParseTankMixing(std::string_view text);

// What a rule does to its link, "open" or "shut". Stored, and words of the plain tables: never change them.
std::string_view ActionText(const LinkRule& rule);
Result<bool> ParseAction(std::string_view text);  // whether it opens

}  // namespace lastreach
