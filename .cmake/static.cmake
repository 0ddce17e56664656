# SPRUE_STATIC: a program that needs no shared library. Sets `sprue_fmt`, the target of fmt to link, `sprue_needs_fmt`,
# whether users of the library link it, too, and `sprue_static`, what the linker is told besides. Where the platform has
# no static C library, says so and links as usual.
set(sprue_fmt fmt::fmt)
set(sprue_needs_fmt ON)
set(sprue_static "")
if(SPRUE_STATIC)
  include(CheckCXXSourceCompiles)
  set(CMAKE_REQUIRED_LINK_OPTIONS -static)
  check_cxx_source_compiles("#include <iostream>\nint main() { std::cout << 1; }" SPRUE_STATIC_LINKS)
  unset(CMAKE_REQUIRED_LINK_OPTIONS)
  if(SPRUE_STATIC_LINKS)
    # Distributions seldom have fmt as a static library.
    set(sprue_fmt $<BUILD_INTERFACE:fmt::fmt-header-only>)
    set(sprue_needs_fmt OFF)
    set(sprue_static -static)
  else()
    message(WARNING "SPRUE_STATIC: this platform links no static program; linking as usual")
  endif()
endif()
