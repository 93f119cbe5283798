# lastreach_room(NAME <folder> [DEPENDS <room>...] [LIBS <public target>...] [PRIVATE_LIBS <target>...]
#                HEADERS <files> SOURCES <files> [TESTS <files>] [TEST_LIBS <target>...])
#
# One room: a static library, its headers (each must compile alone), and one test program that links
# this room and nothing above it, so that reaching upwards is a link error.
# Files are listed by hand, alphabetically: the list is the room's table of contents.
find_package(GTest REQUIRED)
find_package(Threads REQUIRED)

function(lastreach_room)
  cmake_parse_arguments(M "" "NAME" "DEPENDS;LIBS;PRIVATE_LIBS;HEADERS;SOURCES;TESTS;TEST_LIBS" ${ARGN})
  foreach(dep IN LISTS M_DEPENDS)
    if(NOT TARGET lastreach_${dep})
      message(FATAL_ERROR "${M_NAME} depends on ${dep}, which is not above it in CMakeLists.txt")
    endif()
  endforeach()
  set(deps ${M_DEPENDS})
  list(TRANSFORM deps PREPEND lastreach::)

  add_library(lastreach_${M_NAME} STATIC ${M_SOURCES})
  add_library(lastreach::${M_NAME} ALIAS lastreach_${M_NAME})
  target_sources(lastreach_${M_NAME} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/src
                                            FILES ${M_HEADERS})
  target_link_libraries(lastreach_${M_NAME} PUBLIC lastreach_flags ${deps} ${M_LIBS}
                                            PRIVATE lastreach_developer_flags ${M_PRIVATE_LIBS})
  if(M_NAME STREQUAL "core")
    target_precompile_headers(lastreach_core PRIVATE ${PROJECT_SOURCE_DIR}/cmake/precompiled.h)
  else()
    target_precompile_headers(lastreach_${M_NAME} REUSE_FROM lastreach_core)
  endif()

  if(M_TESTS)
    add_executable(${M_NAME}_tests ${M_TESTS})
    target_link_libraries(${M_NAME}_tests PRIVATE lastreach::${M_NAME} lastreach_developer_flags GTest::gmock_main
                                                  ${M_TEST_LIBS})
    if(M_NAME STREQUAL "core")
      target_precompile_headers(core_tests PRIVATE ${PROJECT_SOURCE_DIR}/cmake/precompiled_test.h)
    else()
      target_precompile_headers(${M_NAME}_tests REUSE_FROM core_tests)
    endif()
    add_test(NAME room/${M_NAME} COMMAND ${M_NAME}_tests WORKING_DIRECTORY ${PROJECT_SOURCE_DIR})
  endif()
endfunction()
