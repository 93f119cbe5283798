#include "app/import_network.h"

#include <nlohmann/json.hpp>
#include <ostream>

#include "network/plain_tables.h"
#include "store/project.h"

namespace lastreach {
namespace {

Status Put(Project& project, const Network& network, const NetworkImport& request, Instant now) {
  return project.InTransaction([&]() -> Status {
    if (Status put = project.PutNetwork(network, "tables"); !put.ok()) return put;
    // Repairs are of a map's making, and this network is none.
    if (Status cleared = project.PutRepairs({}); !cleared.ok()) return cleared;
    const size_t rows = network.nodes.size() + network.links.size() + network.runs.size();
    const auto logged =
        project.LogImport({{}, request.folder, "network", now, request.who, static_cast<int>(rows), 0}, {});
    return logged.ok() ? Ok() : Status(logged.error());
  });
}

void PrintJson(const Network& network, const std::vector<std::string>& notes, const NetworkImport& request,
               std::ostream& out) {
  const nlohmann::ordered_json json = {{"folder", request.folder},
                                       {"written", !request.preview},
                                       {"nodes", network.nodes.size()},
                                       {"links", network.links.size()},
                                       {"patterns", network.patterns.size()},
                                       {"runs", network.runs.size()},
                                       {"notes", notes}};
  out << json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
}

void PrintText(const Network& network, const std::vector<std::string>& notes, const NetworkImport& request,
               std::ostream& out) {
  out << request.folder << ": " << network.nodes.size() << " nodes, " << network.links.size() << " links, "
      << network.patterns.size() << " patterns, " << network.runs.size() << " runs "
      << (request.preview ? "would come in" : "came in; they are the project's network now") << ".\n";
  for (const std::string& note : notes) out << "  " << note << "\n";
}

}  // namespace

Result<int> ImportNetwork(const NetworkImport& request, Surroundings& around) {
  auto project = Project::Open(request.file);
  if (!project.ok()) return project.error();
  std::vector<std::string> notes;
  const auto network = ReadNetworkFolder(request.folder, &notes);
  if (!network.ok()) return network.error();
  if (!request.preview) {
    if (Status put = Put(*project, *network, request, around.now); !put.ok()) return put.error();
  }
  (request.json ? PrintJson : PrintText)(*network, notes, request, around.out);
  return 0;
}

}  // namespace lastreach
