#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "app/command.h"

namespace lastreach {

// What a person at the keyboard would have got.
struct Answer {
  int code = -1;
  std::string out;
  std::string err;
};

inline constexpr const char* kTestNow = "2026-07-20T15:00:00Z";

// Runs the whole program in this process, without a terminal, at a fixed moment.
inline Answer RunProgram(const std::vector<std::string>& words, const char* now = kTestNow) {
  std::vector<const char*> argv = {"lastreach"};
  for (const std::string& word : words) argv.push_back(word.c_str());
  std::ostringstream out, err;
  Surroundings around{out, err, false, *ParseRfc3339(now)};
  Answer answer;
  answer.code = RunCommandLine(static_cast<int>(argv.size()), argv.data(), around);
  answer.out = out.str();
  answer.err = err.str();
  return answer;
}

// Exit 2, nothing on standard output, one line on standard error that holds each of `words`.
inline void ExpectRefused(const Answer& answer, const std::vector<std::string>& words) {
  EXPECT_EQ(answer.code, 2) << answer.err;
  EXPECT_EQ(answer.out, "");
  EXPECT_EQ(std::count(answer.err.begin(), answer.err.end(), '\n'), 1) << answer.err;
  EXPECT_TRUE(answer.err.ends_with('\n'));
  for (const std::string& word : words) {
    EXPECT_NE(answer.err.find(word), std::string::npos) << "'" << word << "' is not in: " << answer.err;
  }
}

inline void ExpectDone(const Answer& answer) {
  EXPECT_EQ(answer.code, 0) << answer.err;
  EXPECT_EQ(answer.err, "");
}

// A folder of its own for each test, gone afterwards.
class InAFolder : public ::testing::Test {
 protected:
  InAFolder() {
    const auto* test = ::testing::UnitTest::GetInstance()->current_test_info();
    folder_ = std::filesystem::path(::testing::TempDir()) /
              ("lastreach_" + std::to_string(getpid()) + "_" + test->test_suite_name() + "_" + test->name());
    std::filesystem::remove_all(folder_);
    std::filesystem::create_directories(folder_);
  }
  ~InAFolder() override { std::filesystem::remove_all(folder_); }

  std::string Path(const std::string& name) const { return (folder_ / name).string(); }
  std::string Write(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name, std::ios::binary) << text;
    return Path(name);
  }
  static std::string Bytes(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    return bytes.str();
  }
  std::vector<std::string> Names(const std::string& in = "") const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder_ / in)) {
      names.push_back(entry.path().filename().string());
    }
    std::sort(names.begin(), names.end());
    return names;
  }

 private:
  std::filesystem::path folder_;
};

}  // namespace lastreach
