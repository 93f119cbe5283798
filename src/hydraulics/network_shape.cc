#include "hydraulics/network_shape.h"

#include "hydraulics/link_law.h"

namespace lastreach {

NetworkShape::NetworkShape(const Network& given) : network(given), adjacency(given) {
  for (uint32_t i = 0; i < network.nodes.size(); ++i) {
    is_feeder.push_back(IsFeeder(network.nodes[i]) ? 1 : 0);
    if (is_feeder.back() != 0) feeders.push_back(i);
  }
  PipeLoss nothing;
  nothing.kind = network.options.head_loss;
  pipes.Reserve(network.links.size());
  for (uint32_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    ends.push_back({static_cast<uint32_t>(At(link.from)), static_cast<uint32_t>(At(link.to))});
    is_pipe.push_back(link.kind == LinkKind::kPipe ? 1 : 0);
    if (is_feeder[ends.back().from] != 0 || is_feeder[ends.back().to] != 0) feeder_links.push_back(i);
    if (link.kind != LinkKind::kPipe) {
      if (!IsShut(link)) specials.push_back(i);
      pipes.Add(nothing);
      continue;
    }
    const Result<LinkLaw> law = LawOf(link, network.options);
    pipes.Add(law.ok() ? law->pipe : nothing);
    if (!law.ok()) faults.emplace_back(LinkIndex(i), law.error());
  }
}

}  // namespace lastreach
