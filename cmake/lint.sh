#!/usr/bin/env bash
# clang-format over every source; clang-tidy over lib/, capi/ and every header that they include, in the joined units of the
# preset `ci`. `cmake/lint.sh --fix` formats in place.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
mapfile -t sources < <(git ls-files 'include/*.h' 'lib/*.h' 'lib/*.cc' 'capi/*.h' 'capi/*.cc' 'tests/*.h' 'tests/*.cc' 'bench/*.h' 'bench/*.cc' 'python/*.cc' 'python/*.h')
if [ "${1:-}" = --fix ]; then
  clang-format -i "${sources[@]}"
  exit 0
fi
clang-format --dry-run --Werror "${sources[@]}"
cmake --preset ci -DCMAKE_EXPORT_COMPILE_COMMANDS=ON >/dev/null
mapfile -t units < <(find build/ci/lib build/ci/capi -name 'unity_*_cxx.cxx')
printf '%s\n' "${units[@]}" | xargs -P 2 -n 1 clang-tidy --quiet --extra-arg=-Wno-unknown-warning-option -p build/ci 2>/dev/null
echo "lint: ${#sources[@]} files formatted, ${#units[@]} units of lib/ and capi/ tidy"
