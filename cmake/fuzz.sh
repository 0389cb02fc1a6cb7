#!/bin/bash
# Builds the fuzz targets and runs each for some seconds over its kept corpus:
#   cmake/fuzz.sh [BUILD_DIR [SECONDS [--keep]]]
# BUILD_DIR build/fuzz and SECONDS a target 60 if left out. --keep adds what reached new code to tests/fuzz/corpus (few and small inputs that reach
# the same). A crash, a leak, undefined behaviour, 20 s for one input or a broken invariant fails; the input is then left in
# BUILD_DIR/fuzz.
set -euo pipefail
root=$(realpath "$(dirname "$0")/..")
build=${1:-$root/build/fuzz}
mkdir -p "$build"
build=$(realpath "$build")
seconds=${2:-60}
cmake -S "$root" -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ \
  -DCMAKE_CXX_FLAGS_RELWITHDEBINFO="-O1 -g1" -DTW_FUZZ=ON -DTW_SANITIZE=address,undefined -DTW_BUILD_TESTS=OFF \
  -DTW_BUILD_COMMAND=OFF -DTW_BUILD_CAPI=ON ${TW_CMAKE_ARGUMENTS:-} >"$build/configure.log" 2>&1 || { cat "$build/configure.log"; exit 1; }
cmake --build "$build" --target fuzz_documents fuzz_requests -- -j"${TW_JOBS:-2}"
passed=0
failed=0
for target in documents requests; do
  corpus=$root/tests/fuzz/corpus/$target
  work=$build/fuzz/$target
  mkdir -p "$work"
  seeds=("$corpus")
  if [[ $target == requests ]]; then seeds+=("$root/tables/demo-orders"); fi
  if [[ $target == documents ]]; then seeds+=("$root/tests/cases/tables"); fi
  program=$(find "$build" -name "fuzz_$target" -type f -print -quit)
  if "$program" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=4096 -max_len=16384 -print_final_stats=1 \
      -dict="$root/tests/fuzz/tarewise.dict" -artifact_prefix="$build/fuzz/$target-" "$work" "${seeds[@]}" >"$work.log" 2>&1; then
    passed=$((passed + 1))
    echo "ok   $target: $(grep -o 'stat::number_of_executed_units: *[0-9]*' "$work.log" | tail -1)"
  else
    failed=$((failed + 1))
    echo "FAIL $target:"
    tail -60 "$work.log"
  fi
  if [[ ${3:-} == --keep ]]; then
    kept=$build/fuzz/$target-kept
    mkdir -p "$kept"
    "$program" -set_cover_merge=1 -max_len=4096 "$kept" "$corpus" "$work" >>"$work.log" 2>&1
    cp -n "$kept"/* "$corpus"/
  fi
done
echo "fuzz: $passed passed, $failed failed"
[[ $failed == 0 ]]
