#!/bin/bash
# Programs with two versions of tarewise in them, from an installed package:
#   tests/consume/two_versions/run.sh PREFIX WORK [SOURCE BUILD PROGRAM TABLES]
# The second is the first under another version, which says something else of one mistake: at first its headers alone, then,
# where SOURCE is given, the whole of it, built from a copy and installed into the same prefix. BUILD is the build that the
# first was installed from, PROGRAM one that was linked with the shared library of the first, which prices by TABLES.
set -euo pipefail
prefix=$1
work=$2
here=$(realpath "$(dirname "$0")")
first=$(find "$prefix/include" -maxdepth 1 -name 'tarewise-*' -print -quit)
version=$(sed -n 's/.*VERSION_STRING "\([0-9.]*\)"/\1/p' "$first/tarewise/version.h")
mkdir -p "$work"

fail() { echo "$*" >&2; exit 1; }
# Each its own version and its own words.
told() {  # told PROGRAM
  local said
  said=$("$1")
  echo "$said"
  [[ $(sed -n 1p <<<"$said") == "$version: "*", expected "* && $(sed -n 2p <<<"$said") == "0.99.0: "*", awaited "* ]] ||
    fail "expected the words of $version, then those of 0.99.0"
}

# Headers alone. No function of either is the other's.
"$here/raise.sh" "${3:-"$here/../../.."}" "$work/second"
for side in first second; do
  include=$first
  [ "$side" = first ] || include=$work/second/include
  "${CXX:-c++}" -std=c++20 -O0 -fPIC -shared -DTW_HEADER_ONLY -DSIDE="${side}_side" -I"$include" "$here/side.cc" \
    $(pkg-config --cflags --libs absl_statusor absl_status absl_strings absl_cord absl_int128 absl_inlined_vector) -o "$work/lib$side.so"
done
"${CC:-cc}" "$here/main.c" -L"$work" -lfirst -lsecond -Wl,-rpath,"$work" -o "$work/both"
told "$work/both"
shared=$(comm -12 <(nm -DC --defined-only "$work/libfirst.so" | cut -d' ' -f2- | grep tarewise | sort -u) \
  <(nm -DC --defined-only "$work/libsecond.so" | cut -d' ' -f2- | grep tarewise | sort -u))
[ -z "$shared" ] || fail "in both: $(head -3 <<<"$shared")"
[ -n "${3:-}" ] || exit 0

# Both installed, the second after the first.
build=$4
program=$5
tables=$6
library=$(find "$prefix" -name 'libtarewise_c.so' -print -quit)
libraries=$(dirname "$library")
soname=$(basename "$(readlink "$library")")
is() { [ "$(readlink "$libraries/$soname")" = "libtarewise_c.so.$1" ] || fail "$soname is $(readlink "$libraries/$soname"), expected that of $1"; }
priced() { [ "$("$program" "$tables" | head -1)" = "$before" ] || fail "$1: found \"$("$program" "$tables" 2>&1 | head -1)\", expected \"$before\""; }
is "$version"
before=$("$program" "$tables" | head -1)
CCACHE_BASEDIR="$work" CCACHE_NOHASHDIR=1 cmake -S "$work/second" -B "$work/second-build" -G Ninja -DCMAKE_BUILD_TYPE=None -DCMAKE_UNITY_BUILD=ON \
  -DTW_BUILD_TESTS=OFF -DTW_BUILD_COMMAND=OFF -DTW_BUILD_SQLITE=OFF
CCACHE_BASEDIR="$work" CCACHE_NOHASHDIR=1 cmake --build "$work/second-build"
cmake --install "$work/second-build" --prefix "$prefix" >/dev/null
is 0.99.0
priced "a program of $version with the library of 0.99.0"
[ "$(pkg-config --modversion tarewise "tarewise-${version%.*}" tarewise-0.99 | tr '\n' ' ')" = "0.99.0 $version 0.99.0 " ] ||
  fail "pkg-config: found $(pkg-config --modversion tarewise "tarewise-${version%.*}" tarewise-0.99 2>&1 | tr '\n' ' ')"

# Each is found by its version, in either order, and both are linked into one program.
cmake -S "$here/installed" -B "$work/installed" -G Ninja -DCMAKE_PREFIX_PATH="$prefix" -Dfirst_version="$version" -Dsecond_version=0.99.0
cmake --build "$work/installed"
told "$work/installed/both"

# The older one installed last does not take the soname: a program of the newer one may stand on it.
cmake --install "$build" --prefix "$prefix" >/dev/null
is 0.99.0
[ "$(pkg-config --modversion tarewise)" = "$version" ] || fail "pkg-config: tarewise is $(pkg-config --modversion tarewise), expected the one installed last"

# And what is left of the first when the second goes is whole.
cmake --build "$work/second-build" --target uninstall
is "$version"
priced "after 0.99.0 was uninstalled"
[ -z "$(find "$prefix" -name '*0.99*')" ] || fail "left of 0.99.0: $(find "$prefix" -name '*0.99*' | head -3)"
for name in tarewise tarewise-static; do
  [ "$(pkg-config --modversion $name)" = "$version" ] || fail "pkg-config: $name is not $version"
done
