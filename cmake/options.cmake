# Everything but the libraries is for whoever changes tarewise, and off where tarewise is a part of another build.
option(TW_BUILD_COMMAND "Build the tarewise command" ${PROJECT_IS_TOP_LEVEL})
option(TW_BUILD_CAPI "Build the C interface" ON)
if(PROJECT_IS_TOP_LEVEL)
  set(tw_build_sqlite AUTO)
else()
  set(tw_build_sqlite OFF)
endif()
set(TW_BUILD_SQLITE ${tw_build_sqlite} CACHE STRING
  "Build the SQLite extension over the C interface: ON, OFF, or AUTO: where sqlite3ext.h is found")
set_property(CACHE TW_BUILD_SQLITE PROPERTY STRINGS AUTO ON OFF)
option(TW_BUILD_TESTS "Build the tests" ${PROJECT_IS_TOP_LEVEL})
option(TW_BUILD_BENCH "Build the benchmarks" OFF)
option(TW_BUILD_PYTHON "Build the Python module" OFF)
option(TW_INSTALL "Generate install rules" ${PROJECT_IS_TOP_LEVEL})
option(TW_WARNINGS_AS_ERRORS "Treat warnings in tarewise's own sources as errors" OFF)
set(TW_SANITIZE "" CACHE STRING "Sanitizers for tarewise's own targets, such as address,undefined or thread")
option(TW_FUZZ "Build the fuzz targets (clang)" OFF)

if(PROJECT_IS_TOP_LEVEL AND NOT CMAKE_BUILD_TYPE AND NOT CMAKE_CONFIGURATION_TYPES)
  set(CMAKE_BUILD_TYPE Release CACHE STRING "Kind of build" FORCE)
endif()

# A compiler cache where there is one, and nobody said which; another build's launcher is its own matter.
if(PROJECT_IS_TOP_LEVEL)
  find_program(TW_CCACHE ccache)
  mark_as_advanced(TW_CCACHE)
  foreach(language IN ITEMS C CXX)
    if(TW_CCACHE AND NOT DEFINED CMAKE_${language}_COMPILER_LAUNCHER)
      set(CMAKE_${language}_COMPILER_LAUNCHER "${TW_CCACHE}")
    endif()
  endforeach()
  # A library that was found in a folder of its own, as an Abseil beside the system's, is found there at run time too.
  if(NOT DEFINED CMAKE_INSTALL_RPATH_USE_LINK_PATH)
    set(CMAKE_INSTALL_RPATH_USE_LINK_PATH ON)
  endif()
endif()

# Two versions lie side by side in one prefix: all but the command, the C library's shared object, which is told apart by
# its soname, and the names that mean the version installed last.
set(TW_VERSIONED "tarewise-${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR}")
