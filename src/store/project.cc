#include "store/project.h"

#include <cstdio>
#include <filesystem>

#include "core/zone.h"
#include "store/project_impl.h"
#include "store/schema.h"

namespace lastreach {
namespace {

Error AtFile(std::string message, const std::string& path) {
  return BadInput(std::move(message), {path, {}, "", ""});
}

// SOURCE: [SQLite file format] section 1.3: the first 16 bytes.
bool StartsLikeADatabase(const std::string& path) {
  std::FILE* file = std::fopen(path.c_str(), "rb");
  if (file == nullptr) return false;
  char start[16] = {};
  const size_t got = std::fread(start, 1, sizeof start, file);
  std::fclose(file);
  return got == sizeof start && std::string_view(start, 15) == "SQLite format 3";
}

Status PrepareConnection(Database& database) {
  // FULL: a commit that returned is on the disk, even if the power fails next.
  return database.RunScript(
      "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;");
}

Status CheckHealth(Database& database) {
  std::string verdict;
  Status ran = database.Query("PRAGMA quick_check(1)", {}, [&](const Row& row) -> Status {
    verdict = row.Text("quick_check");
    return Ok();
  });
  if (!ran.ok()) return ran;
  if (verdict != "ok") return AtFile("the file is damaged: " + verdict, database.path());
  return Ok();
}

}  // namespace

Project::Project(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Project::~Project() = default;
Project::Project(Project&&) noexcept = default;
Project& Project::operator=(Project&&) noexcept = default;

const std::string& Project::path() const { return impl_->database->path(); }

Result<Project> Project::Create(const std::string& path, const ProjectInfo& info) {
  if (const auto zone = Zone::Find(info.zone); !zone.ok()) return zone.error();
  if (std::filesystem::exists(path)) {
    return Conflict("there is a file of that name already; it was left as it is", {path, {}, "", ""});
  }
  // "x" makes claiming the name and finding it taken one step.
  std::FILE* claimed = std::fopen(path.c_str(), "wbx");
  if (claimed == nullptr) return AtFile("the file cannot be made; does its folder exist?", path);
  std::fclose(claimed);
  const auto made = [&]() -> Result<Project> {
    auto database = Database::Open(path, OpenOptions().wait_ms);
    if (!database.ok()) return database.error();
    if (Status ready = PrepareConnection(**database); !ready.ok()) return ready.error();
    Project project(std::make_unique<Impl>(std::move(*database)));
    Database& inside = *project.impl_->database;
    Status filled = inside.InTransaction([&]() -> Status {
      if (Status frame = WriteGeoPackageFrame(inside); !frame.ok()) return frame;
      if (Status tables = Migrate(inside); !tables.ok()) return tables;
      return project.PutInfo(info);
    });
    if (!filled.ok()) return filled.error();
    return project;
  }();
  if (!made.ok()) {
    std::error_code ignored;  // the first error is the one to tell
    std::filesystem::remove(path, ignored);
    return made.error();
  }
  return Open(path);
}

Result<Project> Project::Open(const std::string& path, OpenOptions options) {
  if (!std::filesystem::exists(path)) return NotFound("there is no such file", {path, {}, "", ""});
  if (!StartsLikeADatabase(path)) return AtFile("this is not a Lastreach project file", path);
  auto opened = Database::Open(path, options.wait_ms);
  if (!opened.ok()) return opened.error();
  Database& database = **opened;
  if (const auto version = SchemaVersion(database); !version.ok()) return version.error();
  if (Status healthy = CheckHealth(database); !healthy.ok()) return healthy.error();
  if (Status ready = PrepareConnection(database); !ready.ok()) return ready.error();
  const auto version = SchemaVersion(database);
  if (!version.ok()) return version.error();
  if (*version < NewestSchemaVersion()) {
    if (Status migrated = Migrate(database); !migrated.ok()) return migrated.error();
  }
  return Project(std::make_unique<Impl>(std::move(*opened)));
}

Status Project::InTransaction(const std::function<Status()>& work) {
  return impl_->database->InTransaction(work);
}

Result<ProjectInfo> Project::Info() const {
  const auto list = impl_->List<ProjectInfo>(
      "SELECT * FROM project WHERE id = 1", {}, [](const Row& row) -> Result<ProjectInfo> {
        const auto created = ReadTime(row, "created");
        if (!created.ok()) return created.error();
        return ProjectInfo{row.Text("name"), row.Text("zone"), *created};
      });
  if (!list.ok()) return list.error();
  if (list->empty()) return AtFile("the project has lost its name and zone", path());
  return list->front();
}

Status Project::PutInfo(const ProjectInfo& info) {
  if (const auto zone = Zone::Find(info.zone); !zone.ok()) return zone.error();
  return impl_->database->Upsert(
      "project", "id",
      {{"id", int64_t{1}}, {"name", info.name}, {"zone", info.zone}, {"created", TimeValue(info.created)}});
}

}  // namespace lastreach
