#!/usr/bin/env bash
# Second command of the README: installs what the tests need, builds everything with warnings as errors, and runs every test:
# the C++ and C tests, the consumers of the installed package, the sanitizers, the fuzz targets, the linters, and Python.
# Each part's own summary lines are kept and printed again at the end.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
cmake/packages.sh packages.txt packages-test.txt

# Another clone of the same sources finds what this one compiled.
export CCACHE_BASEDIR=$PWD CCACHE_NOHASHDIR=1

logs=$(mktemp -d)
beside=
trap '[ -z "$beside" ] || kill -- -"$beside" 2>/dev/null || true; rm -rf "$logs"' EXIT
parts=(tests consumers generated python address-and-undefined threads lint fuzz)

# run NAME COMMAND...: the command's output goes on, and into a log for the summary.
run() {
  local name=$1 began=$SECONDS
  shift
  echo "== $name"
  # Not in an `if`, where a function goes on after a command that fails.
  local status
  set +e
  (set -e; "$@") 2>&1 | tee "$logs/$name"
  status=${PIPESTATUS[0]}
  set -e
  if [ "$status" != 0 ]; then
    echo "== $name: FAILED after $((SECONDS - began)) s" >&2
    exit 1
  fi
  echo "== $name: done in $((SECONDS - began)) s"
}

build_and_test() {
  local preset=$1
  shift
  cmake --preset "$preset" >/dev/null
  cmake --build --preset "$preset" -- -k 0
  ctest --preset "$preset" -j 2 --no-tests=error "$@"
}

consumers() {
  local work
  work=$(mktemp -d)
  cmake --install build/ci --prefix "$work/prefix" >/dev/null
  command -v cargo >/dev/null || cmake/packages.sh packages-rust.txt
  TW_SOURCE_DIR=$PWD TW_BUILD_DIR=$PWD/build/ci tests/consume/run.sh "$work/prefix" "$work/builds"
  rm -rf "$work"
}

sanitize() {
  ASAN_OPTIONS=detect_leaks=1 UBSAN_OPTIONS=print_stacktrace=1 build_and_test asan
}

threads() {
  cmake --preset tsan >/dev/null
  cmake --build --preset tsan --target tw_threads_test tw_reprice_test
  build/tsan/tests/capi/tw_threads_test
  build/tsan/tests/tw_reprice_test --gtest_filter='Reprice.ThreadsGiveTheSameBytes'
}

run tests build_and_test ci

# What is one process for the most part goes beside what keeps all cores busy, and says what it found when it is done. In a
# group of its own, so that it ends with this script.
set -m
(
  set +m
  run consumers consumers
  run generated cmake/generated.sh
  run python cmake/test-python.sh
) >"$logs/beside" 2>&1 &
beside=$!
set +m
run address-and-undefined sanitize
run threads threads
status=0
wait "$beside" || status=$?
beside=
cat "$logs/beside"
[ "$status" = 0 ] || exit "$status"
run lint cmake/lint.sh
run fuzz cmake/fuzz.sh

echo
echo "== summary"
for part in "${parts[@]}"; do
  grep -hE "^[0-9]+% tests passed|^(=+ )?[0-9]+ passed|^Success: no issues|^lint: |^fuzz: |^generated: |^\\[  PASSED  \\]" \
    "$logs/$part" | sed "s/^/$part: /" || true
done
# The runners' own lines once more as they are, for those who read only the end.
grep -hE "^[0-9]+% tests passed" "$logs/tests"
grep -hE "^(=+ )?[0-9]+ passed" "$logs/python" | tail -1
