# What the compiler says of the sources themselves.

# ---- what must compile, and what must not ----

# One static_assert file for each header or family of headers, and the files of compile_fail/ as they stand.
file(GLOB static_sources CONFIGURE_DEPENDS static/*_static.cc)
file(GLOB compile_fail_sources CONFIGURE_DEPENDS compile_fail/*.cc)
add_library(tw_static_tests OBJECT ${static_sources} ${compile_fail_sources})
target_link_libraries(tw_static_tests PRIVATE tarewise_headers tarewise_dev)

set(core_includes "$<TARGET_PROPERTY:tw_static_tests,INCLUDE_DIRECTORIES>")
foreach(source IN LISTS compile_fail_sources)
  get_filename_component(file ${source} NAME_WE)
  add_test(NAME compile_fail.${file}
    COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/compile_fail/compile_fail.py ${source} --
      ${CMAKE_CXX_COMPILER} -std=c++20 "$<$<BOOL:${core_includes}>:-I$<JOIN:${core_includes},;-I>>"
    COMMAND_EXPAND_LISTS)
endforeach()

# ---- the shape of the library ----

# Every header by itself, twice in one file, over a precompiled header of what is not ours; layering.standard says that
# each names what of the standard library it uses.
file(GLOB_RECURSE headers CONFIGURE_DEPENDS RELATIVE ${PROJECT_SOURCE_DIR}/include ${PROJECT_SOURCE_DIR}/include/*.h)
set(alone_sources)
foreach(header IN LISTS headers)
  string(MAKE_C_IDENTIFIER ${header} file)
  set(alone ${CMAKE_CURRENT_BINARY_DIR}/alone/${file}.cc)
  file(CONFIGURE OUTPUT ${alone} CONTENT "#include \"@header@\"\n#include \"@header@\"\n" @ONLY)
  list(APPEND alone_sources ${alone})
endforeach()
add_library(tw_headers_alone OBJECT ${alone_sources})
target_link_libraries(tw_headers_alone PRIVATE tarewise_headers tarewise_dev)
target_precompile_headers(tw_headers_alone PRIVATE
  <algorithm> <array> <atomic> <chrono> <functional> <map> <memory> <mutex> <optional> <set> <span> <string> <thread>
  <unordered_map> <unordered_set> <variant> <vector>
  <absl/container/inlined_vector.h> <absl/numeric/int128.h> <absl/status/statusor.h>)

# The worked examples of the headers.
set(header_examples ${CMAKE_CURRENT_BINARY_DIR}/header_examples.cc)
file(GLOB_RECURSE front_headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/*.h)
add_custom_command(OUTPUT ${header_examples}
  COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/static/header_examples.py ${PROJECT_SOURCE_DIR}/include ${header_examples}
  DEPENDS ${front_headers} ${CMAKE_CURRENT_SOURCE_DIR}/static/header_examples.py)
add_library(tw_header_examples OBJECT ${header_examples})
target_link_libraries(tw_header_examples PRIVATE tarewise_headers tarewise_dev)
target_compile_options(tw_header_examples PRIVATE -Wno-unused-variable -Wno-unused-but-set-variable)

# Nothing of these runs, so nothing is optimized; each file by itself whatever the others do.
foreach(target IN ITEMS tw_header_examples tw_headers_alone tw_static_tests)
  set_target_properties(${target} PROPERTIES UNITY_BUILD OFF)
  target_compile_options(${target} PRIVATE -O0)
endforeach()

# Bodies of templates that nobody asks for need not be written down, only read.
target_compile_options(tw_headers_alone PRIVATE -fno-implicit-templates $<$<CXX_COMPILER_ID:GNU>:-fno-implicit-inline-templates>)

add_test(NAME layering.standard COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/layering/check_standard.py
         ${PROJECT_SOURCE_DIR})
add_test(NAME layering.includes COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/layering/check_layers.py
         ${PROJECT_SOURCE_DIR})
if(CMAKE_NM)
  add_test(NAME layering.symbols
    COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/layering/check_symbols.py ${CMAKE_NM} $<TARGET_FILE:tarewise>
      $<$<NOT:$<CONFIG:Release>>:--asserts>
    COMMAND_EXPAND_LISTS)
endif()
