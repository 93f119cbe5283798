#include "app/files.h"

#include <filesystem>
#include <fstream>
#include <sstream>

namespace lastreach {

Result<std::string> ReadFile(const std::string& path) {
  std::error_code fault;
  std::ifstream file(path, std::ios::binary);
  if (!file || std::filesystem::is_directory(path, fault)) {
    return NotFound("cannot be read", {path, {}, "", ""});
  }
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

Status MakeFolder(const std::string& path) {
  std::error_code fault;
  std::filesystem::create_directories(path, fault);
  if (fault) return BadInput("cannot make this folder: " + fault.message(), {path, {}, "", ""});
  return Ok();
}

}  // namespace lastreach
