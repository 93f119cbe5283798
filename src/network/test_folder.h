#pragma once

#include <map>
#include <string>

namespace lastreach {

// For tests: a folder of its own with these files, gone afterwards.
class TestFolder {
 public:
  explicit TestFolder(const std::map<std::string, std::string>& text_by_name);
  ~TestFolder();
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;

  const std::string& path() const { return path_; }
  std::string Text(const std::string& name) const;

 private:
  std::string path_;
};

}  // namespace lastreach
