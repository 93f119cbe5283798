// What happens when the program is killed, two write at once, or the file is not what it should be.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <map>
#include <stdexcept>

#include "store/database.h"
#include "store/project_fixture.h"
#include "store/schema.h"

namespace lastreach {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

// Runs `work` in a process of its own and kills that after `microseconds`, wherever it is then.
void RunAndKill(unsigned microseconds, const std::function<void()>& work) {
  const pid_t child = ::fork();
  if (child == 0) {
    work();
    ::_exit(0);
  }
  ::usleep(microseconds);
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
}

std::string IntegrityOf(const std::string& path) {
  const auto raw = Database::Open(path, 1000);
  if (!raw.ok()) return raw.error().ToString();
  std::string verdict;
  const Status ran = (*raw)->Query("PRAGMA integrity_check", {}, [&](const Row& row) -> Status {
    verdict += row.Text("integrity_check");
    return Ok();
  });
  return ran.ok() ? verdict : ran.error().ToString();
}

constexpr int kVisitsABatch = 10;

void WriteBatchesForEver(const std::string& path, int first) {
  auto project = Project::Open(path);
  for (int batch = first; project.ok(); ++batch) {
    const Status kept = project->InTransaction([&]() -> Status {
      for (int i = 0; i < kVisitsABatch; ++i) {
        const auto added = project->AddVisit(AVisit(std::to_string(batch)));
        if (!added.ok()) return added.error();
      }
      return Ok();
    });
    if (!kept.ok()) return;
  }
}

TEST_F(ProjectFile, AKilledWriteLeavesEachTransactionWholeOrAbsent) {
  { const Project project = WithPoint(); }
  unsigned state = 20260701;  // seed
  size_t whole = 0;
  for (int round = 0; round < 40; ++round) {
    state = state * 1664525U + 1013904223U;
    RunAndKill(2000 + (state >> 16U) % 30000, [&] { WriteBatchesForEver(Path(), round * 100000); });
    ASSERT_EQ(IntegrityOf(Path()), "ok") << "round " << round;
    const auto project = Project::Open(Path());
    ASSERT_TRUE(project.ok()) << project.error().ToString();
    std::map<std::string, int> batches;
    const std::vector<Visit> visits_kept = *project->Visits();
    for (const Visit& visit : visits_kept) ++batches[visit.notes];
    for (const auto& [batch, visits] : batches) ASSERT_EQ(visits, kVisitsABatch) << "batch " << batch;
    ASSERT_GE(batches.size(), whole) << "a kept transaction was lost in round " << round;
    whole = batches.size();
  }
  EXPECT_GT(whole, 0U) << "no round lived long enough to write";
}

TEST_F(ProjectFile, AKilledCreationLeavesAProjectOrAFileThatIsRefused) {
  for (unsigned round = 0; round < 30; ++round) {
    const std::string path = Path("new" + std::to_string(round) + ".gpkg");
    RunAndKill(300 * round, [&] { const auto made = Project::Create(path); });
    const auto project = Project::Open(path);
    if (project.ok()) {
      EXPECT_TRUE(project->Info().ok());
      continue;
    }
    EXPECT_THAT(project.error().ToString(),
                testing::AnyOf(HasSubstr("no such file"), HasSubstr("not a Lastreach project")))
        << round;
  }
}

// A file as the first version wrote it, with one row in each of its tables.
void WriteVersion1(const std::string& path) {
  { std::ofstream claim(path, std::ios::binary); }
  const auto raw = Database::Open(path, 1000);
  ASSERT_TRUE(raw.ok());
  Database& database = **raw;
  const Status laid = database.InTransaction([&]() -> Status {
    if (const Status frame = WriteGeoPackageFrame(database); !frame.ok()) return frame;
    return Migrate(database, 1);
  });
  ASSERT_TRUE(laid.ok());
  const Status filled = database.RunScript(
      "BEGIN;"
      "INSERT INTO project VALUES (1, 'Alderbrook', 'America/Chicago', '2026-07-01T12:00:00.000Z');"
      "INSERT INTO flush_points (code, kind, place, supply_zone, controller, discharge, isolation_valve, "
      "meter, notes) "
      "VALUES ('FP-014', 'device', 'Heron Lane', 'North', '', 'unknown', '', '', '');"
      "INSERT INTO samples (point, day, minute_of_day, analyte, residual_mg_per_l, below_detection, "
      "original, who, notes) "
      "VALUES ('FP-014', '2026-07-03', 790, 'free chlorine', 0.4, 0, '0.4', 'R. Ames', '');"
      "INSERT INTO settings_records (point, kind, settings, recorded, who, why) VALUES ('FP-014', 'as-left', "
      "'{\"state\": \"on\", \"percent\": 100, \"programmes\": []}', '2026-07-02T15:00:00.000Z', 'R. Ames', "
      "'summer');"
      "INSERT INTO visits (point, arrived, who, why, notes) VALUES ('FP-014', '2026-07-02T15:00:00.000Z', "
      "'R. Ames', 'rounds', '');"
      "COMMIT;");
  ASSERT_TRUE(filled.ok()) << filled.error().ToString();
}

void ExpectVersion1Rows(const std::string& path) {
  const auto project = Project::Open(path);
  ASSERT_TRUE(project.ok()) << project.error().ToString();
  EXPECT_EQ(project->Info()->name, "Alderbrook");
  EXPECT_EQ(project->FindFlushPoint(Code())->place, "Heron Lane");
  ASSERT_EQ(project->Samples()->size(), 1U);
  EXPECT_EQ(project->Samples()->front().residual, Concentration::MilligramsPerLitre(0.4));
  EXPECT_EQ(project->SettingsOf(Code())->size(), 1U);
  EXPECT_EQ(project->Visits()->size(), 1U);
  const auto raw = Database::Open(path, 1000);
  EXPECT_EQ(*SchemaVersion(**raw), NewestSchemaVersion());
}

TEST_F(ProjectFile, AFileOfTheFirstVersionIsBroughtUpToDateWithEveryRow) {
  WriteVersion1(Path());
  ExpectVersion1Rows(Path());
  Project project = std::move(*Project::Open(Path()));
  EXPECT_TRUE(project.PutPlan({Code(), "summer", {}, "{}"}).ok());
  EXPECT_TRUE(project.RememberColumns("devices", {"a"}, {}).ok());
}

TEST_F(ProjectFile, AKilledMigrationIsTakenUpAgain) {
  for (unsigned round = 0; round < 20; ++round) {
    const std::string path = Path("old" + std::to_string(round) + ".gpkg");
    WriteVersion1(path);
    RunAndKill(400 * round, [&] { const auto opened = Project::Open(path); });
    ExpectVersion1Rows(path);
  }
}

TEST_F(ProjectFile, EveryVersionAddsUpToTheSameFileAsANewOne) {
  WriteVersion1(Path("old.gpkg"));
  ASSERT_TRUE(Project::Open(Path("old.gpkg")).ok());
  { const Project project = New("new.gpkg"); }
  const auto schema = [&](const std::string& name) {
    std::string all;
    const auto raw = Database::Open(Path(name), 1000);
    const Status ran =
        (*raw)->Query("SELECT sql FROM sqlite_master ORDER BY name", {}, [&](const Row& row) -> Status {
          all += row.Text("sql") + "\n";
          return Ok();
        });
    EXPECT_TRUE(ran.ok());
    return all;
  };
  EXPECT_EQ(schema("old.gpkg"), schema("new.gpkg"));
}

TEST_F(ProjectFile, ANewerVersionIsRefusedInOneLine) {
  { const Project project = WithPoint(); }
  {
    const auto raw = Database::Open(Path(), 1000);
    ASSERT_TRUE((*raw)->RunScript("INSERT INTO lastreach_schema (version, applied) VALUES (99, '')").ok());
  }
  const auto project = Project::Open(Path());
  ASSERT_FALSE(project.ok());
  EXPECT_EQ(project.error().ToString(),
            Path() +
                ": the project was written by a newer program (file version 99, this program knows up to " +
                std::to_string(NewestSchemaVersion()) + "); use the newer program");
}

TEST_F(ProjectFile, FilesThatAreNoProjectAreRefusedInOneLine) {
  std::ofstream(Path("letter.txt"))
      << "Dear all, the flushers are fine, and this line is longer than a header.";
  std::ofstream(Path("empty.gpkg"));
  { std::ofstream claim(Path("other.db")); }
  ASSERT_TRUE((*Database::Open(Path("other.db"), 100))->RunScript("CREATE TABLE t (x)").ok());
  { std::ofstream claim(Path("map.gpkg")); }
  ASSERT_TRUE(WriteGeoPackageFrame(**Database::Open(Path("map.gpkg"), 100)).ok());
  for (const char* name : {"letter.txt", "empty.gpkg", "other.db", "map.gpkg"}) {
    const auto project = Project::Open(Path(name));
    ASSERT_FALSE(project.ok()) << name;
    EXPECT_EQ(project.error().ToString(), Path(name) + ": this is not a Lastreach project file");
    EXPECT_EQ(ExitCodeOf(project.error().code), 2);
  }
  EXPECT_THAT(Project::Open(Path("gone.gpkg")).error().ToString(), HasSubstr("there is no such file"));
  EXPECT_THAT(Project::Open(folder_.string()).error().ToString(), HasSubstr("not a Lastreach project"));
}

TEST_F(ProjectFile, ADamagedFileIsRefusedInOneLineOrReadsTrue) {
  { const Project project = WithPoint(); }
  const auto size = fs::file_size(Path());
  fs::copy_file(Path(), Path("cut.gpkg"));
  fs::resize_file(Path("cut.gpkg"), size / 2);
  const auto cut = Project::Open(Path("cut.gpkg"));
  ASSERT_FALSE(cut.ok());
  EXPECT_THAT(cut.error().ToString(), HasSubstr("damaged"));
  // A page of rubbish anywhere past the first is found, or was free and hurts nobody; never a crash.
  int refused = 0;
  for (std::uintmax_t page = 4096; page + 4096 <= size; page += 4096) {
    const std::string path = Path("scratched.gpkg");
    fs::copy_file(Path(), path, fs::copy_options::overwrite_existing);
    {
      std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
      file.seekp(static_cast<std::streamoff>(page));
      file << std::string(4096, '\x5A');
    }
    const auto project = Project::Open(path);
    if (!project.ok()) {
      ++refused;
      EXPECT_EQ(project.error().ToString().find('\n'), std::string::npos);
      continue;
    }
    EXPECT_EQ(*project->FlushPoints(), std::vector<FlushPoint>{FullPoint()});
  }
  EXPECT_GT(refused, 0);
}

TEST_F(ProjectFile, ASecondWriterIsToldAndAReaderIsNot) {
  Project first = WithPoint();
  auto second = Project::Open(Path(), {.wait_ms = 20});
  ASSERT_TRUE(second.ok());
  const Status kept = first.InTransaction([&]() -> Status {
    EXPECT_TRUE(first.AddVisit(AVisit("one")).ok());
    const auto refused = second->AddVisit(AVisit("two"));
    EXPECT_FALSE(refused.ok());
    EXPECT_EQ(refused.error().code, ErrorCode::kConflict);
    EXPECT_THAT(refused.error().ToString(), HasSubstr("another program is writing to the project"));
    EXPECT_TRUE(second->Visits()->empty());  // sees the state before
    return Ok();
  });
  ASSERT_TRUE(kept.ok());
  EXPECT_EQ(second->Visits()->size(), 1U);
  EXPECT_TRUE(second->AddVisit(AVisit("two")).ok());
  EXPECT_EQ(first.Visits()->size(), 2U);
}

TEST_F(ProjectFile, AFailedTransactionLeavesNothing) {
  Project project = WithPoint();
  const Status failed = project.InTransaction([&]() -> Status {
    EXPECT_TRUE(project.AddVisit(AVisit("one")).ok());
    return BadRequest("changed my mind");
  });
  EXPECT_EQ(failed.error().message, "changed my mind");
  EXPECT_TRUE(project.Visits()->empty());
  EXPECT_THROW(static_cast<void>(project.InTransaction([&]() -> Status {
                 EXPECT_TRUE(project.AddVisit(AVisit("two")).ok());
                 throw std::runtime_error("ours");
               })),
               std::runtime_error);
  EXPECT_TRUE(project.Visits()->empty());
  EXPECT_TRUE(project.AddVisit(AVisit("three")).ok());
}

TEST_F(ProjectFile, AnInnerTransactionTakesBackOnlyItsOwn) {
  Project project = WithPoint();
  const Status kept = project.InTransaction([&]() -> Status {
    EXPECT_TRUE(project.AddVisit(AVisit("outer")).ok());
    const Status inner = project.InTransaction([&]() -> Status {
      EXPECT_TRUE(project.AddVisit(AVisit("inner")).ok());
      return BadRequest("no");
    });
    EXPECT_FALSE(inner.ok());
    return Ok();
  });
  ASSERT_TRUE(kept.ok());
  ASSERT_EQ(project.Visits()->size(), 1U);
  EXPECT_EQ(project.Visits()->front().notes, "outer");
}

}  // namespace
}  // namespace lastreach
