#include "store/network_rows.h"

namespace lastreach {

Columns RuleColumns(const LinkRule& rule, const Network& network) {
  return {{"link", network[rule.link].id},
          {"action", TextOf(ActionText(rule))},
          {"tank", rule.tank ? Value(network[*rule.tank].id) : Value()},
          {"falls_to_m", RealValue(rule.falls_to_m)},
          {"rises_to_m", RealValue(rule.rises_to_m)},
          {"at_h", RealValue(rule.at_hour)}};
}

Result<LinkRule> ReadRule(const Row& row, const IndexOfId<NodeIndex>& nodes,
                          const IndexOfId<LinkIndex>& links) {
  const auto link = links.Find(row.Text("link"));
  if (!link.ok()) return link.error();
  const auto opens = ParseAction(row.Text("action"));
  if (!opens.ok()) return opens.error();
  LinkRule rule{
      *link, *opens, {}, ReadReal(row, "falls_to_m"), ReadReal(row, "rises_to_m"), ReadReal(row, "at_h")};
  if (row.IsNull("tank")) return rule;
  const auto tank = nodes.Find(row.Text("tank"));
  if (!tank.ok()) return tank.error();
  rule.tank = *tank;
  return rule;
}

}  // namespace lastreach
