# Two interface targets carry every flag, so that a room never sets its own.
option(LASTREACH_BENCH "Build the benchmarks" ON)
option(LASTREACH_SANITIZE "Address and undefined-behaviour sanitizers" OFF)

add_library(lastreach_flags INTERFACE)
target_compile_features(lastreach_flags INTERFACE cxx_std_20)
# No fused multiply-add behind our back: the same settings must give the same digits on every machine.
target_compile_options(lastreach_flags INTERFACE -ffp-contract=off)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  target_compile_options(lastreach_flags INTERFACE -fpch-preprocess)  # lets ccache see through precompiled headers
endif()
if(LASTREACH_SANITIZE)
  target_compile_options(lastreach_flags INTERFACE -fsanitize=address,undefined -fno-omit-frame-pointer
                                                   -fno-sanitize-recover=all)
  target_link_options(lastreach_flags INTERFACE -fsanitize=address,undefined)
endif()

add_library(lastreach_developer_flags INTERFACE)
target_compile_options(lastreach_developer_flags INTERFACE -Wall -Wextra -Wconversion -Wshadow -Wpedantic -Werror)
# g++ 12 reports overlapping or out-of-bounds copies inside std::string's own operator+ at -O3 (GCC bug 105651).
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  target_compile_options(lastreach_developer_flags INTERFACE -Wno-restrict -Wno-array-bounds -Wno-stringop-overflow -Wno-stringop-overread)
endif()
# With the sanitizers on it also takes the standard library's own regular expressions for uninitialized (GCC bug 105562).
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND LASTREACH_SANITIZE)
  target_compile_options(lastreach_developer_flags INTERFACE -Wno-maybe-uninitialized)
endif()
