#!/usr/bin/env bash
# What a program pays to compile against the library: seconds of one core and bytes of object code for each unit, and for the
# library's own sources, beside nlohmann/json in the same run.
#
#     bench/compile.sh [ROOT] [TIMES]
#
# ROOT: another checkout (a worktree of an older commit), else this one. Medians of TIMES runs, else 3.
set -euo pipefail
root=$(cd "${1:-$(dirname "${BASH_SOURCE[0]}")/..}" && pwd)
times=${2:-3}
compiler=${CXX:-g++}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# measure NAME FLAGS...: the source is $work/NAME.cc.
measure() {
  local name=$1 seconds=() TIMEFORMAT=%U
  shift
  for ((i = 0; i < times; ++i)); do
    seconds+=("$( { time "$compiler" -std=c++20 -O2 "-I$root/include" "-I$root/lib" "$@" -c "$work/$name.cc" -o "$work/$name.o" \
      2>"$work/log" || { cat "$work/log" >&2; exit 1; }; } 2>&1 )")
  done
  local median
  median=$(printf '%s\n' "${seconds[@]}" | sort -n | sed -n "$(((times + 1) / 2))p")
  printf '%-44s %7s s %9d bytes of code and data\n' "$name" "$median" \
    "$(size "$work/$name.o" | awk 'NR == 2 { print $1 + $2 }')"
}

rank='
long Best(std::shared_ptr<const tarewise::Ratebook> book, tarewise::Request request) {
  auto ranking = tarewise::Rank(std::move(book), nullptr, std::move(request));
  return ranking.ok() && !ranking->offers().empty() ? ranking->offers().front().total.micros() : -1;
}'
echo '#include <nlohmann/json.hpp>' >"$work/nlohmann_json.cc"
echo '#include "tarewise/tarewise.h"' >"$work/umbrella.cc"
printf '#include "tarewise/tarewise.h"%s\n' "$rank" >"$work/umbrella_and_one_Rank.cc"
cp "$work/umbrella_and_one_Rank.cc" "$work/the_same_header_only.cc"
measure nlohmann_json
measure umbrella
measure umbrella_and_one_Rank
measure the_same_header_only -DTW_HEADER_ONLY
for source in "$root"/lib/*.cc; do
  [ -e "$source" ] || continue
  name=lib_$(basename "$source" .cc)
  cp "$source" "$work/$name.cc"
  measure "$name"
done
