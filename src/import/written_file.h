#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

namespace lastreach {

// A file for a test, gone when the test is over.
class WrittenFile {
 public:
  WrittenFile(const std::string& name, const std::string& content) : WrittenFile(name) {
    std::ofstream(path_, std::ios::binary) << content;
  }
  explicit WrittenFile(const std::string& name) {
    static int number = 0;
    folder_ = std::filesystem::temp_directory_path() /
              ("lastreach_import_" + std::to_string(::getpid()) + "_" + std::to_string(++number));
    std::filesystem::create_directories(folder_);
    path_ = (folder_ / name).string();
  }
  ~WrittenFile() { std::filesystem::remove_all(folder_); }
  WrittenFile(const WrittenFile&) = delete;
  WrittenFile& operator=(const WrittenFile&) = delete;

  const std::string& path() const { return path_; }

 private:
  std::filesystem::path folder_;
  std::string path_;
};

}  // namespace lastreach
