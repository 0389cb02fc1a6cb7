# What `cmake --install` lays down: the headers, the libraries, a CMake package with components (cxx, capi, capi_static), two
# pkg-config files and the demonstration tables. Include it once, after every target is there.
include(CMakePackageConfigHelpers)

set(TW_INSTALL_CMAKEDIR "${CMAKE_INSTALL_LIBDIR}/cmake/tarewise")
set(TW_INSTALL_TABLESDIR "${CMAKE_INSTALL_DATADIR}/tarewise/tables")

# C++
install(TARGETS tarewise_headers tarewise_core tarewise EXPORT tarewise-cxx-targets
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/include/tarewise DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
  FILES_MATCHING PATTERN "*.h")
install(EXPORT tarewise-cxx-targets NAMESPACE tarewise:: DESTINATION ${TW_INSTALL_CMAKEDIR})

# C
if(TW_BUILD_CAPI)
  install(TARGETS tarewise_c EXPORT tarewise-capi-targets LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR})
  install(TARGETS tarewise_c_static EXPORT tarewise-capi_static-targets ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
  install(FILES ${PROJECT_SOURCE_DIR}/capi/tarewise_c.h DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
  # For whoever calls C from another language: every size and place, and every function.
  install(FILES ${PROJECT_SOURCE_DIR}/capi/tarewise.layout ${PROJECT_SOURCE_DIR}/capi/tarewise.symbols
          DESTINATION ${CMAKE_INSTALL_DATADIR}/tarewise)
  install(FILES ${PROJECT_SOURCE_DIR}/capi/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME README-C.md)
  foreach(component IN ITEMS capi capi_static)
    install(EXPORT tarewise-${component}-targets NAMESPACE tarewise:: DESTINATION ${TW_INSTALL_CMAKEDIR})
  endforeach()
  # A prefix that moves with the tree, whatever the depth of the library folder.
  if(IS_ABSOLUTE "${CMAKE_INSTALL_LIBDIR}")
    set(TW_PC_PREFIX "${CMAKE_INSTALL_PREFIX}")
  else()
    file(RELATIVE_PATH TW_PC_UP "/${CMAKE_INSTALL_LIBDIR}/pkgconfig" "/")
    set(TW_PC_PREFIX "\${pcfiledir}/${TW_PC_UP}")
  endif()
  foreach(name IN ITEMS tarewise tarewise-static)
    configure_file(${PROJECT_SOURCE_DIR}/cmake/${name}.pc.in ${PROJECT_BINARY_DIR}/${name}.pc @ONLY)
    install(FILES ${PROJECT_BINARY_DIR}/${name}.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
  endforeach()
endif()

configure_package_config_file(${PROJECT_SOURCE_DIR}/cmake/tarewiseConfig.cmake.in
  ${PROJECT_BINARY_DIR}/tarewiseConfig.cmake INSTALL_DESTINATION ${TW_INSTALL_CMAKEDIR}
  PATH_VARS TW_INSTALL_TABLESDIR NO_SET_AND_CHECK_MACRO)
# While the version begins with 0, a new minor version may break; see capi/README.md.
write_basic_package_version_file(${PROJECT_BINARY_DIR}/tarewiseConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/tarewiseConfig.cmake ${PROJECT_BINARY_DIR}/tarewiseConfigVersion.cmake
  DESTINATION ${TW_INSTALL_CMAKEDIR})

# The demonstration tables, so that the first program has something to price with.
install(DIRECTORY ${PROJECT_SOURCE_DIR}/tables/demo DESTINATION ${TW_INSTALL_TABLESDIR})
install(FILES ${PROJECT_SOURCE_DIR}/tables/FORMAT.md ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})
