# What `cmake --install` lays down: the headers, the libraries, a CMake package with components (cxx, capi, capi_static), two
# pkg-config files and the demonstration tables. Include it once, after every target is there. The target `uninstall` takes
# away what was laid down last from this build.
include(CMakePackageConfigHelpers)

set(TW_INSTALL_CMAKEDIR "${CMAKE_INSTALL_LIBDIR}/cmake/${TW_VERSIONED}")
set(TW_INSTALL_TABLESDIR "${CMAKE_INSTALL_DATADIR}/${TW_VERSIONED}/tables")
set(TW_INSTALL_INCLUDEDIR "${CMAKE_INSTALL_INCLUDEDIR}/${TW_VERSIONED}")
set(TW_INSTALL_DOCDIR "${CMAKE_INSTALL_DATADIR}/doc/${TW_VERSIONED}")

# C++
install(TARGETS tarewise_headers tarewise_core tarewise EXPORT tarewise-cxx-targets
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/include/tarewise DESTINATION ${TW_INSTALL_INCLUDEDIR}
  FILES_MATCHING PATTERN "*.h")
install(EXPORT tarewise-cxx-targets NAMESPACE tarewise:: DESTINATION ${TW_INSTALL_CMAKEDIR})

# C
if(TW_BUILD_CAPI)
  install(TARGETS tarewise_c EXPORT tarewise-capi-targets LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR})
  install(TARGETS tarewise_c_static EXPORT tarewise-capi_static-targets ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
  install(FILES ${PROJECT_SOURCE_DIR}/capi/tarewise_c.h DESTINATION ${TW_INSTALL_INCLUDEDIR})
  # For whoever calls C from another language: every size and place, and every function.
  install(FILES ${PROJECT_SOURCE_DIR}/capi/tarewise.layout ${PROJECT_SOURCE_DIR}/capi/tarewise.symbols
          DESTINATION ${CMAKE_INSTALL_DATADIR}/${TW_VERSIONED})
  install(FILES ${PROJECT_SOURCE_DIR}/capi/README.md DESTINATION ${TW_INSTALL_DOCDIR} RENAME README-C.md)
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
  configure_file(${PROJECT_SOURCE_DIR}/cmake/tarewise-runtime.pc.in ${PROJECT_BINARY_DIR}/${TW_VERSIONED}-runtime.pc @ONLY)
  install(FILES ${PROJECT_BINARY_DIR}/${TW_VERSIONED}-runtime.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
  foreach(name IN ITEMS tarewise tarewise-static)
    configure_file(${PROJECT_SOURCE_DIR}/cmake/${name}.pc.in ${PROJECT_BINARY_DIR}/${name}.pc @ONLY)
    # By its version, and as the one installed last.
    string(REPLACE "tarewise" "${TW_VERSIONED}" versioned ${name})
    install(FILES ${PROJECT_BINARY_DIR}/${name}.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
    install(FILES ${PROJECT_BINARY_DIR}/${name}.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig RENAME ${versioned}.pc)
  endforeach()
  install(CODE "
    include(\"${PROJECT_SOURCE_DIR}/cmake/newest.cmake\")
    get_filename_component(folder \"${CMAKE_INSTALL_LIBDIR}\" ABSOLUTE BASE_DIR \"\${CMAKE_INSTALL_PREFIX}\")
    tw_newest(\"\$ENV{DESTDIR}\${folder}\")")
endif()

# SQLite
if(TARGET tarewise_sqlite)
  install(TARGETS tarewise_sqlite LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR}/tarewise)
  install(FILES ${PROJECT_SOURCE_DIR}/capi/sqlite/README.md DESTINATION ${TW_INSTALL_DOCDIR} RENAME README-SQLite.md)
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
install(FILES ${PROJECT_SOURCE_DIR}/tables/FORMAT.md ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${TW_INSTALL_DOCDIR})

if(NOT TARGET uninstall)
  add_custom_target(uninstall
    COMMAND ${CMAKE_COMMAND} -DTW_MANIFEST=${PROJECT_BINARY_DIR}/install_manifest.txt -P ${PROJECT_SOURCE_DIR}/cmake/uninstall.cmake
    COMMENT "Taking away what was installed from this build" VERBATIM)
endif()
