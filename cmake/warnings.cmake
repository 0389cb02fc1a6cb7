# Flags for tarewise's own targets only; nothing is set globally and nothing of it is exported.
add_library(tarewise_dev INTERFACE)
target_compile_options(tarewise_dev INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wnon-virtual-dtor -Wold-style-cast -Wconversion)
if(TW_WARNINGS_AS_ERRORS)
  target_compile_options(tarewise_dev INTERFACE -Werror)
endif()
if(TW_SANITIZE)
  target_compile_options(tarewise_dev INTERFACE -fsanitize=${TW_SANITIZE} -fno-omit-frame-pointer
                         -fno-sanitize-recover=all)
  target_link_options(tarewise_dev INTERFACE -fsanitize=${TW_SANITIZE})
endif()
