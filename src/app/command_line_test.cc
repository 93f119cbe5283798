#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

#include "app/test_program.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;

constexpr const char* kCommands[] = {"new", "import", "plan", "sheets", "calendar", "demo", "completion"};

using CommandLine = InAFolder;

TEST_F(CommandLine, HelpNamesEveryCommandAndTheExitCodes) {
  const Answer answer = RunProgram({"--help"});
  ExpectDone(answer);
  for (const char* command : kCommands)
    EXPECT_THAT(answer.out, HasSubstr("\n  " + std::string(command) + " "));
  EXPECT_THAT(answer.out, HasSubstr("Exit codes"));
}

TEST_F(CommandLine, HelpOfACommandDescribesItsOptions) {
  for (const char* command : kCommands) {
    const Answer answer = RunProgram({command, "--help"});
    ExpectDone(answer);
    EXPECT_THAT(answer.out, HasSubstr(std::string("lastreach ") + command)) << command;
  }
}

TEST_F(CommandLine, VersionIsOneLine) {
  const Answer answer = RunProgram({"--version"});
  ExpectDone(answer);
  EXPECT_EQ(answer.out, "lastreach 0.1.0\n");
}

TEST_F(CommandLine, RefusesWhatItDoesNotKnow) {
  ExpectRefused(RunProgram({}), {"command", "--help"});
  ExpectRefused(RunProgram({"frob"}), {"'frob'", "calendar"});
  ExpectRefused(RunProgram({"--frob"}), {"--frob"});
  ExpectRefused(RunProgram({"plan"}), {"FILE.gpkg"});
  ExpectRefused(RunProgram({"plan", "town.gpkg", "--frob"}), {"--frob"});
  ExpectRefused(RunProgram({"new", "town.gpkg", "other.gpkg", "--zone", "UTC"}), {"other.gpkg"});
}

TEST_F(CommandLine, CompletionOffersEveryCommandAndEachOfItsOptions) {
  const Answer script = RunProgram({"completion"});
  ExpectDone(script);
  for (const char* command : kCommands) {
    const size_t line_begin = script.out.find("    " + std::string(command) + ") options=");
    ASSERT_NE(line_begin, std::string::npos) << command;
    const std::string line = script.out.substr(line_begin, script.out.find('\n', line_begin) - line_begin);
    // Whatever --help prints as an option must be offered.
    std::istringstream help(RunProgram({command, "--help"}).out);
    for (std::string text; std::getline(help, text);) {
      const size_t dashes = text.find("--");
      if (text.rfind("  -", 0) != 0 || dashes == std::string::npos || dashes > 5) continue;
      const std::string option = text.substr(dashes, text.find_first_of(" ,=", dashes) - dashes);
      EXPECT_THAT(line + "'", ::testing::ContainsRegex(option + "[ ']")) << command;
    }
  }
}

TEST_F(CommandLine, CompletionIsSoundShell) {
  const std::string script = Write("completion.sh", RunProgram({"completion"}).out);
  EXPECT_EQ(std::system(("bash -n '" + script + "'").c_str()), 0);
  const std::string asked = Path("asked");
  const std::string ask = "source '" + script + "'; COMP_WORDS=(lastreach pl); COMP_CWORD=1; _lastreach; " +
                          "echo \"${COMPREPLY[*]}\"; COMP_WORDS=(lastreach sheets --pa); COMP_CWORD=2; " +
                          "_lastreach; echo \"${COMPREPLY[*]}\"";
  EXPECT_EQ(
      std::system(("bash -c '" + Write("ask.sh", ask).insert(0, "source ") + "' > '" + asked + "'").c_str()),
      0);
  EXPECT_EQ(Bytes(asked), "plan\n--paper --page\n");
}

}  // namespace
}  // namespace lastreach
