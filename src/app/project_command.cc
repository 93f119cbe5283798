#include <memory>
#include <ostream>

#include "app/subcommands.h"
#include "store/project.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string name;
  std::string zone;
};

Result<int> Make(const Options& options, Surroundings& around) {
  ProjectInfo info;
  info.name = options.name.empty() ? options.file.substr(options.file.find_last_of('/') + 1) : options.name;
  info.zone = options.zone;
  info.created = around.now;
  const Result<Project> project = Project::Create(options.file, info);
  if (!project.ok()) return project.error();
  around.out << "Made " << options.file << " in time zone " << options.zone << ". Next: lastreach import "
             << options.file << " devices.csv --as devices --preview\n";
  return 0;
}

}  // namespace

void AddNewCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("new", "Makes a project: one GeoPackage file that any GIS opens");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the file to make; it must not exist yet")->required();
  command->add_option("--zone", options->zone, "IANA time zone the devices stand in, like America/Chicago")
      ->required();
  command->add_option("--name", options->name, "what the system is called");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Make(*options, around); }; });
}

}  // namespace lastreach
