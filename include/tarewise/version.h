#ifndef TAREWISE_VERSION_H_
#define TAREWISE_VERSION_H_

#if defined(_MSVC_LANG) ? _MSVC_LANG <= 201703L : defined(__cplusplus) && __cplusplus <= 201703L
#error "tarewise needs C++20: compile with -std=c++20 or later (CMake: CXX_STANDARD 20)"
#endif

#define TAREWISE_VERSION_MAJOR 0
#define TAREWISE_VERSION_MINOR 3
#define TAREWISE_VERSION_PATCH 0
#define TAREWISE_VERSION_STRING "0.3.0"

// Everything stands in an inline namespace with the version in its name, `namespace tarewise::inline
// TW_VERSIONED`: programs write tarewise::Weight, linkers see tarewise::v0_3::Weight, and two versions may meet
// in one program.
#define TW_VERSIONED v0_3

#endif  // TAREWISE_VERSION_H_
