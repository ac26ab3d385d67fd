# Where "cmake --install" puts the files, and the Debian package that "cpack" makes from them.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

install(TARGETS holdwater RUNTIME)
install(FILES ${CMAKE_BINARY_DIR}/holdwater.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 OPTIONAL)
install(FILES ${CMAKE_BINARY_DIR}/holdwater.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
  RENAME holdwater OPTIONAL)
# Demos, their weather and their parts keep their relative places: a scenario names both from its own folder.
install(DIRECTORY scenarios/ DESTINATION ${CMAKE_INSTALL_DATADIR}/holdwater/scenarios
  FILES_MATCHING PATTERN "*.toml" PATTERN "*.csv" PATTERN "README.md")
# The page of "holdwater desk", where the web build has made it.
install(FILES ${CMAKE_SOURCE_DIR}/build/web/holdwater.html DESTINATION ${CMAKE_INSTALL_DATADIR}/holdwater OPTIONAL)
install(FILES README.md CHANGELOG.md LICENSE tools/packaging/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})

# The libraries: find_package(holdwater), then link holdwater::engine (the year, without files) or holdwater::studies
# (all of it). Installed headers are those of headers.txt.
foreach(library models weather weather_files settings scenarios engine studies)
  set_target_properties(holdwater_${library} PROPERTIES EXPORT_NAME ${library})
  target_include_directories(holdwater_${library} INTERFACE $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}/holdwater>)
  install(TARGETS holdwater_${library} EXPORT holdwater ARCHIVE)
endforeach()
file(STRINGS tools/packaging/headers.txt headers REGEX "^[a-z]")
foreach(header ${headers})
  get_filename_component(room ${header} DIRECTORY)
  install(FILES ${header} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/holdwater/${room})
endforeach()
set(package ${CMAKE_INSTALL_LIBDIR}/cmake/holdwater)
install(EXPORT holdwater NAMESPACE holdwater:: FILE holdwaterTargets.cmake DESTINATION ${package})
configure_package_config_file(tools/packaging/holdwaterConfig.cmake.in ${CMAKE_BINARY_DIR}/holdwaterConfig.cmake
  INSTALL_DESTINATION ${package})
write_basic_package_version_file(${CMAKE_BINARY_DIR}/holdwaterConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_BINARY_DIR}/holdwaterConfig.cmake ${CMAKE_BINARY_DIR}/holdwaterConfigVersion.cmake
  DESTINATION ${package})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME holdwater)
set(CPACK_PACKAGE_CONTACT "Holdwater's maintainers <maintainers@holdwater.invalid>")
set(CPACK_RESOURCE_FILE_LICENSE ${CMAKE_SOURCE_DIR}/LICENSE)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
# dpkg-shlibdeps finds the libraries that the command is linked with.
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# For programs that are built against the libraries.
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "g++, cmake, libboost-dev, libeigen3-dev, libhdf5-dev, libhowardhinnant-date-dev, \
libtomlplusplus-dev, libfmt-dev, libtbb-dev, zlib1g-dev")
include(CPack)
