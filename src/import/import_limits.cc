// Limits of the user.
#include "import/cell_words.h"
#include "import/limit_rules.h"
#include "import/row_imports.h"

namespace lastreach {

bool ReadScope(RowReader& row, const SeenRows& seen, LimitScope& scope, std::string& subject) {
  subject = row.Known("subject");
  const std::string said = Plainly(row.Known("scope"));
  const auto point = seen.points.FindByCode(subject);
  const std::string plain = Plainly(subject);
  if (Mentions(said, {"point", "device", "flusher"}) || (said.empty() && point)) {
    if (!point) {
      row.Reject("subject", "the project has no such flush point");
      return false;
    }
    scope = LimitScope::kPoint;
    subject = point->code.text();
  } else if (Mentions(said, {"zone", "area"}) || (said.empty() && !subject.empty() && plain != "all" &&
                                                  plain != "system" && plain != "everywhere")) {
    scope = LimitScope::kZone;
    if (subject.empty()) {
      row.Reject("subject", "a zone is wanted by its name");
      return false;
    }
    if (const auto zone = seen.ZoneNamed(subject)) {
      subject = *zone;
    } else if (!seen.zones.empty()) {
      row.Note("the project has no zone '" + subject + "' yet");
    }
  } else if (said.empty() || Mentions(said, {"system", "all", "everywhere", "whole"})) {
    scope = LimitScope::kSystem;
    subject.clear();
  } else {
    row.Reject("scope", "this is for the system, a zone or a point");
    return false;
  }
  return true;
}

void ImportLimit(RowReader& row, SeenRows& seen, ImportResult& result) {
  Limit limit;
  limit.source = row.Known("source");
  if (limit.source.empty())
    return row.Reject("source", "a limit needs its source: who says so, or which paper");
  const auto kind = ReadRuleKind(row.Known("rule"));
  if (!kind.ok()) return row.Reject("rule", kind.error().message);
  // A tank may stand where other limits name their zone or point.
  const bool of_a_tank = *kind == RuleKind::kLeastTankLevel && row.Known("tank").empty();
  if (!of_a_tank && !ReadScope(row, seen, limit.scope, limit.subject)) return;
  const auto rule = ReadLimitRule(row, *kind);
  if (!rule) return;
  limit.rule = *rule;
  if (const Status fits = CheckScope(limit.rule, limit.scope); !fits.ok())
    return row.Reject("scope", fits.error().message);
  // By what is written: a description has too few digits to tell two limits apart.
  const std::string subject = of_a_tank ? row.Known("subject") : limit.subject;
  std::string key = std::string(ToText(limit.scope)) + "\n" + subject + "\n" + limit.source;
  for (const char* field : {"rule", "value", "unit", "from", "to", "days", "tank", "stage", "discharge"})
    key += "\n" + row.Known(field);
  if (!seen.IsNew(key, "the limit", "rule", row)) return;
  result.limits.push_back(std::move(limit));
}

}  // namespace lastreach
