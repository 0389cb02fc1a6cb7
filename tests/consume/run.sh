#!/bin/bash
# Builds and runs every consumer in a folder of its own, from an installed package:
#   tests/consume/run.sh PREFIX WORK
# PREFIX is where `cmake --install` put tarewise, WORK an empty folder for the builds. Each consumer must print the same best
# offer. TW_CONSUME_PYTHON names the interpreter (left out: python3), TW_BUILD_DIR the build that was installed last: it is
# uninstalled at the end.
set -euo pipefail
prefix=$(realpath "$1")
mkdir -p "$2"
work=$(realpath "$2")
here=$(realpath "$(dirname "$0")")
tables=$(find "$prefix/share" -path "*/tables/demo" -print -quit)
library=$(find "$prefix" -name 'libtarewise_c.so' -print -quit)
libraries=$(dirname "$library")
export LD_LIBRARY_PATH=$libraries${LD_LIBRARY_PATH:+:$LD_LIBRARY_PATH}
export PKG_CONFIG_PATH=$libraries/pkgconfig
expected="harbourline parcel "
passed=0
failed=0

report() {  # report NAME COMMAND...: runs it; its first line must be the best offer
  local name=$1 line
  shift
  if line=$("$@" 2>"$work/stderr" | head -1) && [[ $line == "$expected"* ]]; then
    if [[ -z ${first:-} ]]; then first=$line; fi
    if [[ $line == "$first" ]]; then
      passed=$((passed + 1))
      echo "ok   $name: $line"
      return
    fi
  fi
  failed=$((failed + 1))
  echo "FAIL $name: found \"${line:-}\", expected \"${first:-$expected...}\""
  cat "$work/stderr"
}

build() {  # build NAME CMAKE_ARGUMENTS...
  local name=$1 source=$2
  shift 2
  cmake -S "$here/$source" -B "$work/$name" -G Ninja -DCMAKE_PREFIX_PATH="$prefix" "$@" >"$work/$name.log" 2>&1 &&
    cmake --build "$work/$name" >>"$work/$name.log" 2>&1 || { cat "$work/$name.log"; return 1; }
}

for compiler in gcc clang; do
  build "c99-$compiler" c99 -DCMAKE_C_COMPILER=$compiler
  report "C99 with $compiler, find_package" "$work/c99-$compiler/consumer" "$tables"
done
build cxx20 cxx20
report "C++20, find_package" "$work/cxx20/consumer" "$tables"
report "C++20, find_package, headers alone" "$work/cxx20/consumer_headers" "$tables"
if [[ -n ${TW_SOURCE_DIR:-} ]]; then
  build subdirectory subdirectory -DTW_SOURCE_DIR="$TW_SOURCE_DIR" -DCMAKE_UNITY_BUILD=ON
  report "C++20, add_subdirectory" "$work/subdirectory/consumer" "$tables"
  report "C, add_subdirectory, archive" "$work/subdirectory/consumer_c" "$tables"
fi
cp -r "$here/pkg_config" "$here/c99" "$here/rust" "$work/"
mkdir -p "$work/cxx20"
cp "$here/cxx20/main.cc" "$work/cxx20/"
make -s -C "$work/pkg_config"
report "C, pkg-config" "$work/pkg_config/consumer" "$tables"
report "C, pkg-config, archives" "$work/pkg_config/consumer_static" "$tables"
report "C, pkg-config, nothing shared" "$work/pkg_config/consumer_whole" "$tables"
report "C++, pkg-config, optimized, warnings being errors" "$work/pkg_config/consumer_cxx" "$tables"
report "Python, ctypes" "${TW_CONSUME_PYTHON:-python3}" "$here/python/price.py" "$library" "$tables"
TW_LIBRARY_DIR=$libraries cargo build --offline --quiet --manifest-path "$work/rust/Cargo.toml"
report "Rust, extern" "$work/rust/target/debug/consume_rust" "$tables"

extension=$(find "$prefix" -name 'tarewise_sqlite.so' -print -quit)
report "SQL, sqlite3" "$here/sqlite/price.sh" "$extension" "$tables"

holds() {  # holds NAME COMMAND...: it must succeed
  local name=$1
  shift
  if "$@" >"$work/stdout" 2>&1; then
    passed=$((passed + 1))
    echo "ok   $name"
  else
    failed=$((failed + 1))
    echo "FAIL $name"
    cat "$work/stdout"
  fi
}

package() {  # package LANGUAGES COMPONENTS
  cmake -S "$here/package" -B "$(mktemp -d "$work/package.XXXX")" -G Ninja -DCMAKE_PREFIX_PATH="$prefix" -DTW_PREFIX="$prefix" -DTW_LANGUAGES="$1" -DTW_COMPONENTS="$2" 2>&1
}
refused() {  # refused LANGUAGES COMPONENTS WORDS: CMake stops, and says so
  local said
  if said=$(package "$1" "$2"); then echo "expected an error"; return 1; fi
  tr -s '\n ' ' ' <<<"$said" | grep -F "$3" || { echo "$said"; return 1; }
}
for components in "" cxx capi "cxx;capi;capi_static"; do
  holds "CMake, components \"$components\": its own tables" package "C;CXX" "$components"
done
holds "CMake, C alone" package C capi
holds "CMake, C alone, archive: says that CXX is missing" refused C capi_static 'found no CXX among the project'"'"'s languages'
holds "CMake, no such component: says which there are" refused "C;CXX" sqlite 'found the component "sqlite", expected one of those installed: cxx, capi, capi_static'

older_standard() {
  local said
  if said=$("${CXX:-c++}" -std=c++17 -fsyntax-only $(pkg-config --cflags tarewise-static) "$here/cxx20/main.cc" 2>&1); then return 1; fi
  grep -m 1 error <<<"$said" | grep -F "tarewise needs C++20"
}
holds "C++17: the first error says what is needed" older_standard
nothing_shared() { ! ldd "$work/pkg_config/consumer_whole" | grep -q "=>"; }
holds "C, pkg-config, nothing shared: loads no library" nothing_shared
# With the source at hand the second version is built and installed beside the first.
two=()
if [[ -n ${TW_SOURCE_DIR:-} && -n ${TW_BUILD_DIR:-} ]]; then
  two=("$TW_SOURCE_DIR" "$TW_BUILD_DIR" "$work/c99-gcc/consumer" "$tables")
fi
holds "two versions in one program" "$here/two_versions/run.sh" "$prefix" "$work/two_versions" "${two[@]}"

# What was installed goes away, and what somebody else put there stays.
uninstall() {
  echo kept >"$prefix/lib/another"
  cmake --build "$TW_BUILD_DIR" --target uninstall
  [ "$(find "$prefix" -type f)" = "$prefix/lib/another" ]
}
if [[ -n ${TW_BUILD_DIR:-} ]]; then holds "uninstall" uninstall; fi

echo "$passed passed, $failed failed"
[[ $failed == 0 ]]
