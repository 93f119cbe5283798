#include "app/project_map.h"

#include <algorithm>
#include <set>

namespace lastreach {
namespace {

// "r12", "R0012" -> "12": people leave the noughts away.
std::string Plain(const std::string& id) {
  size_t at = !id.empty() && (id[0] == 'R' || id[0] == 'r') ? 1 : 0;
  while (at + 1 < id.size() && id[at] == '0') ++at;
  return id.substr(at);
}

Error At(const std::string& path, Error error) {
  if (error.place.file.empty()) error.place.file = path;
  return error;
}

struct Said {
  std::string id;
  Decision decision;
};
std::vector<Said> InOrder(const Verdicts& verdicts) {
  std::vector<Said> said;
  for (const std::string& id : verdicts.accepted) said.push_back({id, Decision::kAccepted});
  for (const std::string& id : verdicts.refused) said.push_back({id, Decision::kRefused});
  for (const std::string& id : verdicts.locked) said.push_back({id, Decision::kLocked});
  return said;
}

}  // namespace

Result<MapMade> MakeNetwork(Project& project, const MapOptions& options) {
  auto drawing = project.LoadDrawing();
  if (!drawing.ok()) return drawing.error();
  const auto decisions = project.RepairDecisions();
  if (!decisions.ok()) return decisions.error();
  auto set_aside = project.ImportSetAside();
  if (!set_aside.ok()) return set_aside.error();
  if (drawing->mains.empty()) {
    return BadInput(
        "the project has no mains yet: lastreach import " + project.path() + " mains.gpkg --as mains",
        {project.path(), {}, "", ""});
  }

  auto joined = JoinUp(*drawing, *decisions, options.join);
  if (!joined.ok()) return At(project.path(), joined.error());
  MapMade made;
  made.network = std::move(joined->network);
  made.repairs = std::move(joined->repairs);
  made.joined = std::move(joined->summary);
  made.set_aside = std::move(*set_aside);
  made.set_aside.insert(made.set_aside.end(), joined->set_aside.begin(), joined->set_aside.end());
  made.things = PlaceThings(made.network, *drawing, options.place);
  auto customers = ServeCustomers(made.network, *drawing, options.serve);
  if (!customers.ok()) return At(project.path(), customers.error());
  made.customers = std::move(*customers);
  auto filled = FillIn(made.network, *drawing, options.fill);
  if (!filled.ok()) return At(project.path(), filled.error());
  made.filled = std::move(*filled);
  made.drawn_things = std::move(drawing->things);

  const Status kept = project.InTransaction([&]() -> Status {
    if (Status put = project.PutNetwork(made.network, "map"); !put.ok()) return put;
    return project.PutRepairs(made.repairs);
  });
  if (!kept.ok()) return At(project.path(), kept.error());
  return made;
}

Status RecordVerdicts(Project& project, const Verdicts& verdicts) {
  const auto repairs = project.Repairs();
  if (!repairs.ok()) return repairs.error();
  std::set<std::string> named;
  return project.InTransaction([&]() -> Status {
    for (const Said& said : InOrder(verdicts)) {
      if (!named.insert(Plain(said.id)).second) {
        return BadRequest("the repair " + said.id + " is named twice");
      }
      const auto found = std::find_if(repairs->begin(), repairs->end(), [&](const Repair& repair) {
        return Plain(repair.id) == Plain(said.id);
      });
      if (found == repairs->end()) {
        return NotFound("the latest making of the network has no such repair; lastreach map lists them",
                        {project.path(), {}, "repair", said.id});
      }
      const Status added =
          project.AddRepairDecision({found->kind, found->at, found->first, found->second, said.decision,
                                     verdicts.who, verdicts.when, verdicts.why});
      if (!added.ok()) return added;
    }
    return Ok();
  });
}

}  // namespace lastreach
