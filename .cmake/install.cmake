# What `cmake --install` puts where. Two components: `program` (the command, its pages, its completions, documents, the
# standard library's sources) and `development` (the library: headers, archives, what find_package(sprue) reads).
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

# Pages and completions come from the program's own command line.
set(shell_folder ${PROJECT_BINARY_DIR}/shell)
find_program(GZIP_PROGRAM gzip)
add_custom_command(
  OUTPUT ${shell_folder}/made
  COMMAND ${CMAKE_COMMAND} -DSPRUE=$<TARGET_FILE:sprue> -DOUT=${shell_folder} -DGZIP=${GZIP_PROGRAM}
          -P ${PROJECT_SOURCE_DIR}/.cmake/shell.cmake
  DEPENDS sprue ${PROJECT_SOURCE_DIR}/.cmake/shell.cmake
  COMMENT "Writing manual pages and completions")
add_custom_target(sprue_shell ALL DEPENDS ${shell_folder}/made)

install(TARGETS sprue RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(DIRECTORY ${shell_folder}/man/ DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
install(FILES ${shell_folder}/sprue DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions COMPONENT program)
install(FILES ${shell_folder}/sprue.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT program)
# Debian's own packages have a folder of their own for zsh.
install(CODE "
  set(functions site-functions)
  if(CMAKE_INSTALL_PREFIX STREQUAL \"/usr\" AND EXISTS /etc/debian_version)
    set(functions vendor-completions)
  endif()
  file(INSTALL DESTINATION \"\${CMAKE_INSTALL_PREFIX}/${CMAKE_INSTALL_DATADIR}/zsh/\${functions}\" TYPE FILE
       FILES \"${shell_folder}/_sprue\")" COMPONENT program)
install(DIRECTORY stdlib/ DESTINATION ${CMAKE_INSTALL_DATADIR}/sprue/stdlib COMPONENT program FILES_MATCHING PATTERN "*.sprue")
install(DIRECTORY docs/editors/ DESTINATION ${CMAKE_INSTALL_DATADIR}/sprue/editors COMPONENT program OPTIONAL)
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
install(DIRECTORY docs/ DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program USE_SOURCE_PERMISSIONS
  PATTERN editors EXCLUDE)
install(DIRECTORY scenarios/ DESTINATION ${CMAKE_INSTALL_DOCDIR}/examples COMPONENT program PATTERN run EXCLUDE)

# The library: one header, and one that says its version.
set(config_folder ${CMAKE_INSTALL_LIBDIR}/cmake/sprue)
set_target_properties(sprue_lang PROPERTIES EXPORT_NAME lang)
set_target_properties(sprue_runtime PROPERTIES EXPORT_NAME sprue)
target_compile_features(sprue_runtime INTERFACE cxx_std_20)
if(SPRUE_SANITIZE)
  target_link_options(sprue_lang INTERFACE $<INSTALL_INTERFACE:-fsanitize=${SPRUE_SANITIZE}>)
endif()
install(TARGETS sprue_lang sprue_runtime EXPORT sprueTargets
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development
  INCLUDES DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(FILES runtime/library/sprue.hpp ${PROJECT_BINARY_DIR}/generated/sprue/version.hpp
  DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/sprue COMPONENT development)
install(EXPORT sprueTargets NAMESPACE sprue:: DESTINATION ${config_folder} COMPONENT development)
configure_package_config_file(.cmake/sprueConfig.cmake.in ${PROJECT_BINARY_DIR}/generated/sprueConfig.cmake
  INSTALL_DESTINATION ${config_folder})
# Before 1.0 a minor version may change the library.
write_basic_package_version_file(${PROJECT_BINARY_DIR}/generated/sprueConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/generated/sprueConfig.cmake ${PROJECT_BINARY_DIR}/generated/sprueConfigVersion.cmake
  DESTINATION ${config_folder} COMPONENT development)
