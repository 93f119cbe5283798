#include "core/words.h"

#include "network/drawing.h"
#include "network/network.h"
#include "network/quiet_place.h"
#include "network/repair.h"

namespace lastreach {
namespace {

constexpr MainStatus kMainStatuses[] = {MainStatus::kInUse, MainStatus::kAbandoned, MainStatus::kProposed,
                                        MainStatus::kOtherWater};
constexpr ThingKind kThingKinds[] = {ThingKind::kValve,  ThingKind::kHydrant, ThingKind::kBlowOff,
                                     ThingKind::kTank,   ThingKind::kSource,  ThingKind::kPump,
                                     ThingKind::kFitting};
constexpr NodeKind kNodeKinds[] = {NodeKind::kJunction, NodeKind::kSource, NodeKind::kTank};
constexpr LinkKind kLinkKinds[] = {LinkKind::kPipe,     LinkKind::kCheck,      LinkKind::kPump,
                                   LinkKind::kReducing, LinkKind::kSustaining, LinkKind::kLimiting,
                                   LinkKind::kClosed};
constexpr TankMixing kTankMixings[] = {TankMixing::kMixed, TankMixing::kFirstInFirstOut};
constexpr RepairKind kRepairKinds[] = {RepairKind::kEndToEnd, RepairKind::kEndToLine, RepairKind::kCrossing,
                                       RepairKind::kIsland};
constexpr Decision kDecisions[] = {Decision::kAccepted, Decision::kRefused, Decision::kLocked};
constexpr QuietKind kQuietKinds[] = {QuietKind::kDeadEnd,   QuietKind::kStub,        QuietKind::kNullPoint,
                                     QuietKind::kShutValve, QuietKind::kHydrantLead, QuietKind::kMaybeGap};

}  // namespace

std::string_view ToText(MainStatus status) {
  switch (status) {
    case MainStatus::kInUse:
      return "in use";
    case MainStatus::kAbandoned:
      return "abandoned";
    case MainStatus::kProposed:
      return "proposed";
    case MainStatus::kOtherWater:
      return "other water";
  }
  return "";
}

std::string_view ToText(ThingKind kind) {
  switch (kind) {
    case ThingKind::kValve:
      return "valve";
    case ThingKind::kHydrant:
      return "hydrant";
    case ThingKind::kBlowOff:
      return "blow-off";
    case ThingKind::kTank:
      return "tank";
    case ThingKind::kSource:
      return "source";
    case ThingKind::kPump:
      return "pump";
    case ThingKind::kFitting:
      return "fitting";
  }
  return "";
}

std::string_view ToText(NodeKind kind) {
  switch (kind) {
    case NodeKind::kJunction:
      return "junction";
    case NodeKind::kSource:
      return "source";
    case NodeKind::kTank:
      return "tank";
  }
  return "";
}

std::string_view ToText(LinkKind kind) {
  switch (kind) {
    case LinkKind::kPipe:
      return "pipe";
    case LinkKind::kCheck:
      return "check";
    case LinkKind::kPump:
      return "pump";
    case LinkKind::kReducing:
      return "reducing";
    case LinkKind::kSustaining:
      return "sustaining";
    case LinkKind::kLimiting:
      return "limiting";
    case LinkKind::kClosed:
      return "closed";
  }
  return "";
}

std::string_view ToText(TankMixing mixing) {
  switch (mixing) {
    case TankMixing::kMixed:
      return "mixed";
    case TankMixing::kFirstInFirstOut:
      return "first-in-first-out";
  }
  return "";
}

std::string_view ActionText(const LinkRule& rule) { return rule.opens ? "open" : "shut"; }

std::string_view ToText(RepairKind kind) {
  switch (kind) {
    case RepairKind::kEndToEnd:
      return "end to end";
    case RepairKind::kEndToLine:
      return "end to line";
    case RepairKind::kCrossing:
      return "crossing";
    case RepairKind::kIsland:
      return "island";
  }
  return "";
}

std::string_view ToText(Decision decision) {
  switch (decision) {
    case Decision::kAccepted:
      return "accepted";
    case Decision::kRefused:
      return "refused";
    case Decision::kLocked:
      return "locked";
  }
  return "";
}

std::string_view ToText(QuietKind kind) {
  switch (kind) {
    case QuietKind::kDeadEnd:
      return "dead end";
    case QuietKind::kStub:
      return "stub";
    case QuietKind::kNullPoint:
      return "null point";
    case QuietKind::kShutValve:
      return "shut valve";
    case QuietKind::kHydrantLead:
      return "hydrant lead";
    case QuietKind::kMaybeGap:
      return "maybe a gap";
  }
  return "";
}

Result<MainStatus> ParseMainStatus(std::string_view text) {
  return ParseByWord(text, kMainStatuses, "a main's status");
}
Result<ThingKind> ParseThingKind(std::string_view text) {
  return ParseByWord(text, kThingKinds, "a thing on the map");
}
Result<NodeKind> ParseNodeKind(std::string_view text) { return ParseByWord(text, kNodeKinds, "a node"); }
Result<LinkKind> ParseLinkKind(std::string_view text) { return ParseByWord(text, kLinkKinds, "a link"); }
Result<TankMixing> ParseTankMixing(std::string_view text) {
  return ParseByWord(text, kTankMixings, "a tank's mixing");
}
Result<bool> ParseAction(std::string_view text) {
  if (text == "open" || text == "shut") return text == "open";
  return BadInput("what a rule does is one of open, shut", {"", {}, "", std::string(text)});
}
Result<RepairKind> ParseRepairKind(std::string_view text) {
  return ParseByWord(text, kRepairKinds, "a repair");
}
Result<Decision> ParseDecision(std::string_view text) { return ParseByWord(text, kDecisions, "a decision"); }
Result<QuietKind> ParseQuietKind(std::string_view text) {
  return ParseByWord(text, kQuietKinds, "a quiet place");
}

}  // namespace lastreach
