# Warnings are private to each of our targets: whoever links to us keeps their own.
function(lugwise_warnings target)
  if(NOT LUGWISE_DEVELOPER)
    return()
  endif()
  target_compile_options(${target} PRIVATE
    -Wall -Wextra -Wpedantic -Werror -Wshadow -Wconversion -Wno-sign-conversion -Wnon-virtual-dtor -Woverloaded-virtual
    # False alarms: GCC bug 105651 with std::string, and optional values once sanitizers are on.
    $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>
    $<$<AND:$<CXX_COMPILER_ID:GNU>,$<BOOL:${LUGWISE_SANITIZE}>>:-Wno-maybe-uninitialized>)
endfunction()

# The optimised build of what is bound by its reader and not by its arithmetic.
function(lugwise_quick_to_build target)
  target_compile_options(${target} PRIVATE $<$<AND:$<CONFIG:Release,RelWithDebInfo>,$<NOT:$<PLATFORM_ID:Emscripten>>>:-O1>)
endfunction()

# Headers read once for a whole target: half of a first build is reading them again. Not where a compiler cache stands in
# front, which is quicker still and does not get along with them.
function(lugwise_precompile target)
  if(NOT CMAKE_CXX_COMPILER_LAUNCHER)
    if(ARGV1 STREQUAL REUSE_FROM)
      target_precompile_headers(${target} ${ARGN})
    else()
      target_precompile_headers(${target} PRIVATE ${ARGN})
    endif()
  endif()
endfunction()
set(LUGWISE_USUAL_HEADERS <algorithm> <cmath> <cstdint> <functional> <map> <memory> <optional> <set> <string>
                          <string_view> <utility> <vector> <fmt/format.h>)

# Files of a target read as one, a few at a time: most of a first build is reading the same headers and making the same
# templates. No two files of such a target may then have a helper of one name. Not for whoever develops: one changed file
# is built sooner alone; nor for a page, where its size and speed so were not measured.
function(lugwise_read_together target)
  if(NOT LUGWISE_DEVELOPER AND NOT EMSCRIPTEN)
    set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE 6)
  endif()
endfunction()

# Where the time of a plan and of a diagnosis goes. A page is made small, but for these.
set(LUGWISE_CALCULATE network circuit sequence fault hearing dictionary handling effect plan diagnosis)

# lugwise_room(<name> [WORDS] [TOGETHER] [DEPENDS <room>...] [LINK <third-party target>...])
#
# One static library from every .cpp and .h in the current folder. DEPENDS are the rooms its headers may show, LINK the
# libraries only its .cpp files use. WORDS: it reads or writes for people and waits for nobody, so an optimised build takes
# less trouble over it, and less time. TOGETHER: see lugwise_read_together. What lies in inside/ is the room's own: built, but not installed, and its headers
# may use LINK too. A room with no .cpp is an interface library, so its neighbours can link to it.
function(lugwise_room name)
  cmake_parse_arguments(PARSE_ARGV 1 arg "WORDS;TOGETHER" "" "DEPENDS;LINK")
  if(arg_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "lugwise_room(${name}): cannot read ${arg_UNPARSED_ARGUMENTS}")
  endif()
  file(GLOB sources CONFIGURE_DEPENDS *.cpp inside/*.cpp)
  file(GLOB headers CONFIGURE_DEPENDS *.h)
  set(target lugwise_${name})
  list(TRANSFORM arg_DEPENDS PREPEND lugwise_ OUTPUT_VARIABLE depends)

  if(sources)
    add_library(${target} STATIC ${sources} ${headers})
    set(scope PUBLIC)
    # fmt and yaml-cpp are real libraries; the rest is headers only and ends at our own build.
    set(linked fmt::fmt ${arg_LINK})
    list(TRANSFORM linked REPLACE "^(Boost|Eigen3|nlohmann_json)::.*$" "$<BUILD_INTERFACE:\\0>")
    target_link_libraries(${target} PRIVATE ${linked})
    set_target_properties(${target} PROPERTIES POSITION_INDEPENDENT_CODE ON CXX_EXTENSIONS OFF)
    lugwise_warnings(${target})
    if(arg_WORDS)
      lugwise_quick_to_build(${target})
    elseif(name IN_LIST LUGWISE_CALCULATE)
      target_compile_options(${target} PRIVATE $<$<PLATFORM_ID:Emscripten>:-finline-functions>)
    endif()
    if(arg_TOGETHER)
      lugwise_read_together(${target})
    endif()
    list(LENGTH sources count)
    if(count GREATER 3)
      set(read_once ${LUGWISE_USUAL_HEADERS})
      if("nlohmann_json::nlohmann_json" IN_LIST arg_LINK)
        list(APPEND read_once <nlohmann/json.hpp>)
      endif()
      lugwise_precompile(${target} ${read_once})
    endif()
  else()
    add_library(${target} INTERFACE)
    set(scope INTERFACE)
  endif()
  add_library(lugwise::${name} ALIAS ${target})
  set_target_properties(${target} PROPERTIES EXPORT_NAME ${name})
  target_compile_features(${target} ${scope} cxx_std_20)
  target_link_libraries(${target} ${scope} ${depends})
  # Installed headers are <lugwise/harness/harness.h> and include each other as "harness/harness.h".
  target_include_directories(${target} ${scope}
    $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}/lib>
    $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}>
    $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}/lugwise>)

  if(LUGWISE_INSTALL)
    install(TARGETS ${target} EXPORT lugwiseTargets ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
    install(FILES ${headers} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/lugwise/${name})
  endif()

  if(LUGWISE_DEVELOPER AND headers)
    lugwise_lone_headers(${name} "${headers}")
  endif()
endfunction()

# Compiles each header alone and twice, so none leans on what its neighbour includes and each can be included again.
function(lugwise_lone_headers room headers)
  set(lone_sources)
  foreach(header IN LISTS headers)
    file(RELATIVE_PATH path ${PROJECT_SOURCE_DIR}/lib ${header})
    set(lone ${PROJECT_BINARY_DIR}/lone/${path}.cpp)
    file(CONFIGURE OUTPUT ${lone} CONTENT "#include \"${path}\"\n#include \"${path}\"\n")
    list(APPEND lone_sources ${lone})
  endforeach()
  add_library(lugwise_lone_${room} OBJECT ${lone_sources})
  target_compile_features(lugwise_lone_${room} PRIVATE cxx_std_20)
  target_include_directories(lugwise_lone_${room} PRIVATE ${PROJECT_SOURCE_DIR}/lib)
  lugwise_warnings(lugwise_lone_${room})
endfunction()
