#include "core/origin.h"

namespace lastreach {

std::string_view ToText(OriginKind kind) {
  switch (kind) {
    case OriginKind::kMeasured:
      return "measured";
    case OriginKind::kTyped:
      return "typed";
    case OriginKind::kEstimated:
      return "estimated";
    case OriginKind::kAssumed:
      return "assumed";
  }
  return "assumed";
}

Result<OriginKind> ParseOriginKind(std::string_view text) {
  for (const OriginKind kind :
       {OriginKind::kMeasured, OriginKind::kTyped, OriginKind::kEstimated, OriginKind::kAssumed}) {
    if (text == ToText(kind)) return kind;
  }
  return BadInput("an origin is one of measured, typed, estimated, assumed", {"", {}, "", std::string(text)});
}

std::string Describe(const Origin& origin) {
  std::string text(ToText(origin.kind));
  if (!origin.by.empty()) text += " by " + origin.by;
  if (origin.when) text += " on " + FormatDate(DateOf(*origin.when));
  if (!origin.note.empty()) text += " (" + origin.note + ")";
  return text;
}

}  // namespace lastreach
