# `cpack` makes Debian packages: `sprue`, the command, and `libsprue-dev`, the library. With SOURCE_DATE_EPOCH set they
# are the same bytes each time.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME sprue)
set(CPACK_PACKAGE_CONTACT "The sprue project <sprue@example.invalid>")
set(CPACK_PACKAGE_VENDOR sprue)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES TRUE)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME sprue)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION devel)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_RECOMMENDS git)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "compiler and evaluator of cost scenarios of physical products
Parts, processes, tools, volumes and prices as a small declarative text are
checked (names, units, currencies) and evaluated: cost of a unit landed, money
in tooling, cash before the first shipment. Every figure is explained back to
the line behind it; versions are compared change by change.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libsprue-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "library of the sprue compiler
A C++ header, static libraries and CMake files with which a program of one's
own loads sprue files, evaluates scenarios and reads their figures.")
if(sprue_needs_fmt)
  set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS libfmt-dev)
endif()
include(CPack)
