#pragma once

#include <stdlib.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace lastreach {

// What other programs see in the files this room writes: the tests read pages with poppler and codes with
// zbar, not with the library that wrote them.

// A folder of its own for one test, removed with it.
class TestFolder {
 public:
  TestFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "sheets-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~TestFolder() { std::filesystem::remove_all(path_); }
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;
  std::string operator/(const std::string& file) const { return (path_ / file).string(); }

 private:
  std::filesystem::path path_;
};

inline std::string OutputOf(const std::string& command) {
  std::string output;
  FILE* pipe = popen(command.c_str(), "r");
  char buffer[4096];
  for (size_t n = 0; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) output.append(buffer, n);
  const int status = pclose(pipe);
  return status == 0 ? output : "exit status " + std::to_string(status) + " of " + command;
}

inline std::string BytesOf(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

// The words of a PDF with one space between them, so that where a line was broken does not matter.
inline std::string WordsOf(const std::string& pdf) {
  std::string text = OutputOf("pdftotext -layout '" + pdf + "' -");
  for (size_t at = 0; (at = text.find("\u00A0", at)) != std::string::npos;) text.replace(at, 2, " ");
  std::istringstream words(text);
  std::string joined;
  for (std::string word; words >> word;) joined += (joined.empty() ? "" : " ") + word;
  return joined;
}

// One word on a page, as poppler finds it, in points.
struct WordBox {
  int page = 0;
  double left = 0;
  double top = 0;
  double right = 0;
  double bottom = 0;
  double page_width = 0;
  double page_height = 0;
  std::string text;
};

inline std::vector<WordBox> WordBoxesOf(const std::string& pdf) {
  std::istringstream lines(OutputOf("pdftotext -bbox '" + pdf + "' -"));
  std::vector<WordBox> boxes;
  WordBox box;
  for (std::string line; std::getline(lines, line);) {
    if (std::sscanf(line.c_str(), " <page width=\"%lf\" height=\"%lf\"", &box.page_width, &box.page_height) ==
        2) {
      ++box.page;
    } else if (std::sscanf(line.c_str(), " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">",
                           &box.left, &box.top, &box.right, &box.bottom) == 4) {
      const size_t begin = line.find('>') + 1;
      box.text = line.substr(begin, line.find('<', begin) - begin);
      boxes.push_back(box);
    }
  }
  return boxes;
}

// A page as red, green and blue bytes.
struct Raster {
  int width = 0;
  int height = 0;
  std::string rgb;
  unsigned char At(int x, int y, int channel) const {
    const auto pixel = static_cast<size_t>(y) * static_cast<size_t>(width) + static_cast<size_t>(x);
    return static_cast<unsigned char>(rgb[3 * pixel + static_cast<size_t>(channel)]);
  }
};

inline Raster RasterOf(const std::string& pdf, int page, int dots_per_inch) {
  const std::string bytes =
      OutputOf("pdftoppm -r " + std::to_string(dots_per_inch) + " -f " + std::to_string(page) + " -l " +
               std::to_string(page) + " -singlefile '" + pdf + "'");
  Raster raster;
  int read = 0;
  if (std::sscanf(bytes.c_str(), "P6 %d %d 255%n", &raster.width, &raster.height, &read) == 2) {
    raster.rgb = bytes.substr(static_cast<size_t>(read) + 1);
  }
  return raster;
}

}  // namespace lastreach
