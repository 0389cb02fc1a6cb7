# Builds on Debian for its arm64: g++-aarch64-linux-gnu, and libabsl-dev of that architecture
# (dpkg --add-architecture arm64). CMAKE_CROSSCOMPILING_EMULATOR runs what was built where there is one.
set(CMAKE_SYSTEM_NAME Linux)
set(CMAKE_SYSTEM_PROCESSOR aarch64)
set(CMAKE_C_COMPILER aarch64-linux-gnu-gcc)
set(CMAKE_CXX_COMPILER aarch64-linux-gnu-g++)
set(CMAKE_LIBRARY_ARCHITECTURE aarch64-linux-gnu)
# Debian keeps the packages of each architecture in a folder of its own, and those without one in share/.
set(CMAKE_FIND_ROOT_PATH_MODE_PROGRAM NEVER)
set(CMAKE_PREFIX_PATH /usr/lib/aarch64-linux-gnu)
find_program(TW_AARCH64_EMULATOR NAMES qemu-aarch64-static qemu-aarch64)
mark_as_advanced(TW_AARCH64_EMULATOR)
if(TW_AARCH64_EMULATOR)
  set(CMAKE_CROSSCOMPILING_EMULATOR "${TW_AARCH64_EMULATOR};-L;/usr/aarch64-linux-gnu")
endif()
