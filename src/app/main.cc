#include <unistd.h>

#include <chrono>
#include <iostream>

#include "app/command.h"

int main(int argc, char** argv) {
  lastreach::Surroundings around{std::cout, std::cerr, isatty(STDERR_FILENO) != 0,
                                 std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now())};
  return lastreach::RunCommandLine(argc, argv, around);
}
