# Flags for tarewise's own targets only; nothing is set globally and nothing of it is exported.
add_library(tarewise_dev INTERFACE)
target_compile_options(tarewise_dev INTERFACE
  -Wall -Wextra -Wpedantic $<$<CXX_COMPILER_ID:GNU>:-Wshadow=local> $<$<CXX_COMPILER_ID:Clang>:-Wshadow>
  $<$<COMPILE_LANGUAGE:CXX>:-Wnon-virtual-dtor> $<$<COMPILE_LANGUAGE:CXX>:-Wold-style-cast> -Wconversion
  # False positives of g++ 12 in std::string's operator+, in absl::InlinedVector and in nlohmann's maps.
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict> $<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>
  $<$<CXX_COMPILER_ID:GNU>:-Wno-array-bounds>)
if(TW_WARNINGS_AS_ERRORS)
  target_compile_options(tarewise_dev INTERFACE -Werror)
endif()
if(TW_SANITIZE)
  target_compile_options(tarewise_dev INTERFACE -fsanitize=${TW_SANITIZE} -fno-omit-frame-pointer
                         -fno-sanitize-recover=all)
  target_link_options(tarewise_dev INTERFACE -fsanitize=${TW_SANITIZE})
endif()
