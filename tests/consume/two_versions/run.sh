#!/bin/bash
# A program with two versions of tarewise in it, from an installed package:
#   tests/consume/two_versions/run.sh PREFIX WORK
# The second is the first under another version, which says something else of one mistake.
set -euo pipefail
prefix=$1
work=$2
here=$(realpath "$(dirname "$0")")
first=$(find "$prefix/include" -maxdepth 1 -name 'tarewise-*' -print -quit)
mkdir -p "$work/second"
cp -r "$first/tarewise" "$work/second/"
sed -i -e 's/TW_VERSIONED v[0-9_]*/TW_VERSIONED v99_9/' -e 's/\(VERSION_STRING "\)[0-9.]*/\199.9.0/' "$work/second/tarewise/version.h"
sed -i 's/message += ", expected "/message += ", awaited "/' "$work/second/tarewise/units/internal/quantity_text.h"
for side in first second; do
  include=$first
  [ "$side" = first ] || include=$work/second
  "${CXX:-c++}" -std=c++20 -O0 -fPIC -shared -DTW_HEADER_ONLY -DSIDE="${side}_side" -I"$include" "$here/side.cc" \
    $(pkg-config --cflags --libs absl_statusor absl_status absl_strings absl_cord absl_int128 absl_inlined_vector) -o "$work/lib$side.so"
done
"${CC:-cc}" "$here/main.c" -L"$work" -lfirst -lsecond -Wl,-rpath,"$work" -o "$work/both"
said=$("$work/both")
echo "$said"
# Each its own version and its own words; no function of either is the other's.
[[ $(sed -n 1p <<<"$said") == *", expected "* && $(sed -n 2p <<<"$said") == "99.9.0: "*", awaited "* ]]
shared=$(comm -12 <(nm -DC --defined-only "$work/libfirst.so" | cut -d' ' -f2- | grep tarewise | sort -u) \
  <(nm -DC --defined-only "$work/libsecond.so" | cut -d' ' -f2- | grep tarewise | sort -u))
[ -z "$shared" ] || { echo "in both: $(head -3 <<<"$shared")" >&2; exit 1; }
