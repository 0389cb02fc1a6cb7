#!/usr/bin/env bash
# Builds the fuzz targets (preset `asan`) and runs each for some seconds over its kept corpus, all at once:
#   cmake/fuzz.sh [SECONDS [--keep]]
# SECONDS a target are 30 if left out. --keep adds what reached new code to tests/fuzz/corpus (few and small inputs that
# reach the same). A crash, a leak, undefined behaviour, 20 s for one input or a broken invariant fails; the input is then
# left in build/asan/fuzz.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
seconds=${1:-30}
work=build/asan/fuzz
targets=(documents grids packing requests)
declare -A seeds=([documents]=tests/cases/tables [grids]=tests/grids/found [packing]=tests/fuzz/corpus/packing [requests]=tables/demo-orders) running
cmake --preset asan >/dev/null
cmake --build --preset asan --target "${targets[@]/#/fuzz_}"
for target in "${targets[@]}"; do
  mkdir -p "$work/$target"
  build/asan/tests/fuzz/fuzz_"$target" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=4096 -max_len=16384 \
    -print_final_stats=1 -dict=tests/fuzz/tarewise.dict -artifact_prefix="$work/$target-" \
    "$work/$target" "tests/fuzz/corpus/$target" "${seeds[$target]}" >"$work/$target.log" 2>&1 &
  running[$target]=$!
done
failed=0
for target in "${targets[@]}"; do
  if wait "${running[$target]}"; then
    echo "ok   $target: $(grep -o 'stat::number_of_executed_units: *[0-9]*' "$work/$target.log" | tail -1)"
  else
    failed=$((failed + 1))
    echo "FAIL $target:"
    tail -60 "$work/$target.log"
  fi
  if [ "${2:-}" = --keep ]; then
    mkdir -p "$work/$target-kept"
    build/asan/tests/fuzz/fuzz_"$target" -set_cover_merge=1 -max_len=4096 "$work/$target-kept" \
      "tests/fuzz/corpus/$target" "$work/$target" >>"$work/$target.log" 2>&1
    cp -n "$work/$target-kept"/* "tests/fuzz/corpus/$target"/
  fi
done
echo "fuzz: $((${#targets[@]} - failed)) passed, $failed failed"
[ "$failed" = 0 ]
