#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/position.h"
#include "core/result.h"
#include "network/network.h"

namespace lastreach {

// Why water stands there. Stored and printed: never change the words.
enum class QuietKind {
  kDeadEnd,      // the main ends, and customers draw on the way
  kStub,         // the main ends without a customer on it
  kNullPoint,    // water comes from both sides and may stand where the two meet
  kShutValve,    // ends at a valve that is shut
  kHydrantLead,  // a few metres to a hydrant: not a main
  kMaybeGap,     // ends close to another main: perhaps only the drawing stops
};

// One piece of a link, in the direction from the well-fed main to the end.
struct ReachPiece {
  LinkIndex link{};
  double from_m = 0;  // along the link from its `from` end; greater than to_m where walked backwards
  double to_m = 0;
  int services = 0;            // on this piece
  double demand_m3_per_s = 0;  // drawn on this piece, and beyond its far end by side branches
  friend bool operator==(const ReachPiece&, const ReachPiece&) = default;
};

// A dead end or a quiet stretch of a loop with all that lies behind it.
struct QuietPlace {
  std::string id;  // "E0007", in order of rank
  QuietKind kind = QuietKind::kDeadEnd;
  std::optional<NodeIndex> node;  // the end; none for a null point along a link
  Position at;
  std::string street;
  std::string zone;
  std::vector<ReachPiece> reach;  // from the first well-fed tee to the end
  double length_m = 0;
  double volume_m3 = 0;
  int services = 0;            // on the reach itself
  int services_beyond = 0;     // on side branches
  double demand_m3_per_s = 0;  // of both
  double tail_m = 0;           // past the last customer
  double tail_m3 = 0;
  // Average time water takes from the well-fed tee to the last customer [d]; none where nobody draws.
  std::optional<double> days_to_last_customer;
  // The same from the source along the shortest way, flows shared out without a solver; none if unknown.
  std::optional<double> days_from_source;
  std::string fed_by;  // "8-in main in Elm Street, from tank Hilltop"
  std::string outlet;  // hydrant or blow-off at the end; empty for none
  std::vector<std::string> notes;
  std::optional<LinkIndex> fed_through;  // the main that fed_by names, of the first arm; not stored
  friend bool operator==(const QuietPlace&, const QuietPlace&) = default;
};

std::string_view ToText(
    QuietKind kind);  // "dead end", "stub", "null point", "shut valve", "hydrant lead", "maybe a gap"
Result<QuietKind> ParseQuietKind(std::string_view text);

}  // namespace lastreach
