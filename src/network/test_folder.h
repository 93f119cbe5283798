#pragma once

#include <map>
#include <string>

namespace lastreach {

// For tests: a folder of its own with these files, gone afterwards.
class TablesFolder {
 public:
  explicit TablesFolder(const std::map<std::string, std::string>& text_by_name);
  ~TablesFolder();
  TablesFolder(const TablesFolder&) = delete;
  TablesFolder& operator=(const TablesFolder&) = delete;

  const std::string& path() const { return path_; }
  std::string Text(const std::string& name) const;

 private:
  std::string path_;
};

}  // namespace lastreach
