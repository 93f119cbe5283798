#include "hydraulics/core_layout.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "hydraulics/core_chains.h"
#include "hydraulics/elimination.h"

namespace lastreach {
namespace {

// Most pipes of a town are slower than this most of the day; the first heads are scaled by it.
constexpr double kGuess_m_per_s = 0.05;
constexpr double kGuess_m3_per_s = 0.01;

double GuessOf(const Link& link) {
  double guess = kGuess_m3_per_s;
  if (link.pump) {
    guess = link.pump->design_flow_m3_per_s;
  } else if (link.inner_diameter_m) {
    const double diameter_m = link.inner_diameter_m->value;
    guess = kGuess_m_per_s * std::numbers::pi / 4 * diameter_m * diameter_m;
  }
  return link.kind == LinkKind::kLimiting && link.setting ? std::min(guess, *link.setting) : guess;
}

class Builder {
 public:
  Builder(const Network& network, const Adjacency& adjacency, const PipeLaws& laws,
          const LayoutRequest& request)
      : network_(network), laws_(laws), request_(request), split_(SplitCore(network, adjacency, request)) {}

  Result<LaidOut> Build();

 private:
  Status CheckPipes() const;
  void NumberNodes();
  void AddChains();
  Status AddSpecials();
  Status AddValve(const Link& link, uint32_t core_link);
  void AddSlots();
  uint32_t AddLink(uint32_t from, uint32_t to, const LinkLaw& law, uint32_t of);
  CoreLayout::Slot AddSlot(size_t node, LinkLaw law);

  const Network& network_;
  const PipeLaws& laws_;
  const LayoutRequest& request_;
  CoreSplit split_;
  LaidOut made_;
};

Status Builder::CheckPipes() const {
  for (const auto& [index, fault] : laws_.faults) {
    const Link& link = network_[index];
    if (request_.fed[At(link.from)] != 0 && request_.fed[At(link.to)] != 0) return fault;
  }
  return Ok();
}

// In the order in which they will be eliminated; chains then in the order of their ends, so that what is used
// together stands together.
void Builder::NumberNodes() {
  std::vector<uint32_t>& number = made_.layout.core_node;
  number.assign(network_.nodes.size(), CoreLayout::kNone);
  uint32_t next = 0;
  for (const uint32_t node : split_.unknown_nodes) number[node] = next++;
  made_.core.unknowns = next;
  for (size_t i = 0; i < network_.nodes.size(); ++i) {
    if (network_.nodes[i].kind == NodeKind::kSource) number[i] = next++;
  }
  made_.core.head_m.assign(next, 0);
  made_.core.demand_m3_per_s.assign(made_.core.unknowns, 0);
  std::vector<LinkEnds> ends;
  for (const CoreSplit::Span& chain : split_.chains) {
    ends.emplace_back(number[chain.from], number[split_.rows[chain.end - 1].to]);
  }
  for (const uint32_t link : split_.specials) {
    ends.emplace_back(number[At(network_.links[link].from)], number[At(network_.links[link].to)]);
  }
  const std::vector<uint32_t> order = EliminationOrder(made_.core.unknowns, ends);
  made_.layout.node_of.resize(order.size());
  for (const uint32_t node : split_.unknown_nodes) {
    number[node] = order[number[node]];
    made_.layout.node_of[number[node]] = node;
  }
  const auto first = [&](const CoreSplit::Span& chain) {
    const uint32_t a = number[chain.from], z = number[split_.rows[chain.end - 1].to];
    return std::pair(std::min(a, z), std::max(a, z));
  };
  std::stable_sort(split_.chains.begin(), split_.chains.end(),
                   [&](const CoreSplit::Span& a, const CoreSplit::Span& b) { return first(a) < first(b); });
}

void Builder::AddChains() {
  Core& core = made_.core;
  core.pipes.Reserve(split_.rows.size());
  core.drawn_m3_per_s.assign(split_.rows.size(), 0);
  for (const CoreSplit::Span& chain : split_.chains) {
    const CoreLayout::Row& last = split_.rows[chain.end - 1];
    core.links.push_back({made_.layout.core_node[chain.from], made_.layout.core_node[last.to]});
    core.flow_m3_per_s.push_back(GuessOf(network_.links[split_.rows[chain.begin].link]));
    for (size_t row = chain.begin; row < chain.end; ++row) {
      core.pipes.Add(laws_.rows, split_.rows[row].link);
      made_.layout.rows.push_back(split_.rows[row]);
    }
    core.row_begin.push_back(static_cast<uint32_t>(made_.layout.rows.size()));
  }
}

uint32_t Builder::AddLink(uint32_t from, uint32_t to, const LinkLaw& law, uint32_t of) {
  made_.core.links.push_back({from, to});
  made_.core.laws.push_back(law);
  made_.layout.special_of.push_back(of);
  return static_cast<uint32_t>(made_.core.links.size() - 1);
}

Status Builder::AddValve(const Link& link, uint32_t core_link) {
  if (link.kind != LinkKind::kReducing && link.kind != LinkKind::kSustaining) return Ok();
  const bool reduces = link.kind == LinkKind::kReducing;
  const Node& held = network_[reduces ? link.to : link.from];
  if (!held.elevation_m) {
    return BadInput(
        "node '" + held.id + "' has no elevation, and valve '" + link.id + "' holds the pressure there",
        {"nodes.csv", {}, "elevation_m", ""});
  }
  const CoreLink& ends = made_.core.links[core_link];
  made_.core.valves.push_back({core_link, link.kind, reduces ? ends.to : ends.from,
                               held.elevation_m->value + *link.setting, ValveState::kOpen});
  return Ok();
}

Status Builder::AddSpecials() {
  for (const uint32_t index : split_.specials) {
    const Link& link = network_.links[index];
    const Result<LinkLaw> law = LawOf(link, network_.options);
    if (!law.ok()) return law.error();
    const uint32_t core_link =
        AddLink(made_.layout.core_node[At(link.from)], made_.layout.core_node[At(link.to)], *law, index);
    made_.core.flow_m3_per_s.push_back(GuessOf(link));
    if (Status added = AddValve(link, core_link); !added.ok()) return added;
  }
  return Ok();
}

CoreLayout::Slot Builder::AddSlot(size_t node, LinkLaw law) {
  const auto beyond = static_cast<uint32_t>(made_.core.head_m.size());
  made_.core.head_m.push_back(0);
  made_.core.flow_m3_per_s.push_back(0);
  law.is_out = true;
  return {static_cast<uint32_t>(node), AddLink(made_.layout.core_node[node], beyond, law, CoreLayout::kNone),
          beyond};
}

void Builder::AddSlots() {
  CoreLayout& layout = made_.layout;
  const auto is_unknown = [&](size_t node) { return layout.core_node[node] < made_.core.unknowns; };
  for (const NodeIndex node : request_.openings) {
    if (is_unknown(At(node)) && !IsFeeder(network_[node])) {
      layout.openings.push_back(AddSlot(At(node), LinkLaw{}));
    }
  }
  for (size_t i = 0; i < network_.nodes.size(); ++i) {
    if (!is_unknown(i)) continue;
    if (network_.nodes[i].kind == NodeKind::kTank) layout.tanks.push_back(AddSlot(i, LawOfTank()));
    if (!request_.falls_short.empty() && request_.falls_short[i] != 0) {
      layout.demands.push_back(AddSlot(i, LinkLaw{}));
    }
  }
}

Result<LaidOut> Builder::Build() {
  if (Status checked = CheckPipes(); !checked.ok()) return checked.error();
  made_.layout.trees = std::move(split_.trees);
  NumberNodes();
  AddChains();
  if (Status added = AddSpecials(); !added.ok()) return added.error();
  AddSlots();
  made_.core.guess_m3_per_s = made_.core.flow_m3_per_s;
  return std::move(made_);
}

}  // namespace

PipeLaws PipeLawsOf(const Network& network) {
  PipeLaws laws;
  laws.rows.Reserve(network.links.size());
  PipeLoss nothing;
  nothing.kind = network.options.head_loss;
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (link.kind != LinkKind::kPipe) {
      laws.rows.Add(nothing);
      continue;
    }
    const Result<LinkLaw> law = LawOf(link, network.options);
    laws.rows.Add(law.ok() ? law->pipe : nothing);
    if (!law.ok()) laws.faults.emplace_back(LinkIndex(i), law.error());
  }
  return laws;
}

Result<LaidOut> LayOut(const Network& network, const Adjacency& adjacency, const PipeLaws& laws,
                       const LayoutRequest& request) {
  return Builder(network, adjacency, laws, request).Build();
}

}  // namespace lastreach
