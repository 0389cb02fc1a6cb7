# Everything but the libraries is for whoever changes tarewise, and off where tarewise is a part of another build.
option(TW_BUILD_COMMAND "Build the tarewise command" ${PROJECT_IS_TOP_LEVEL})
option(TW_BUILD_CAPI "Build the C interface" ON)
set(TW_BUILD_SQLITE AUTO CACHE STRING
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
