#include "network/test_folder.h"

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace lastreach {

TablesFolder::TablesFolder(const std::map<std::string, std::string>& text_by_name) {
  static int made = 0;
  path_ = (std::filesystem::temp_directory_path() /
           ("lastreach_network_" + std::to_string(getpid()) + "_" + std::to_string(++made)))
              .string();
  std::filesystem::create_directories(path_);
  for (const auto& [name, text] : text_by_name) {
    std::ofstream(std::filesystem::path(path_) / name, std::ios::binary) << text;
  }
}

TablesFolder::~TablesFolder() { std::filesystem::remove_all(path_); }

std::string TablesFolder::Text(const std::string& name) const {
  std::ifstream file(std::filesystem::path(path_) / name, std::ios::binary);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace lastreach
