#pragma once

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "core/result.h"
#include "hydraulics/pipe_rows.h"
#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// What every answer reads of a network, packed: links and nodes themselves carry names and places.
struct NetworkShape {
  struct Ends {
    uint32_t from = 0, to = 0;
  };
  explicit NetworkShape(const Network& network);

  const Network& network;
  Adjacency adjacency;                              // links of kind closed left out
  std::vector<Ends> ends;                           // size links
  std::vector<char> is_pipe;                        // size links
  std::vector<char> is_feeder;                      // size nodes
  std::vector<uint32_t> feeders;                    // nodes
  std::vector<uint32_t> feeder_links;               // with an end at one
  std::vector<uint32_t> specials;                   // links other than pipes, closed ones left out
  PipeRows pipes;                                   // size links; nothing where a link is no pipe
  std::vector<std::pair<LinkIndex, Error>> faults;  // of pipes without a law, in order
};

}  // namespace lastreach
