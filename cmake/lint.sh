#!/usr/bin/env bash
# clang-format over every source, clang-tidy over every translation unit of lib/ and capi/ and, through one unit that includes
# them all, over the headers. `cmake/lint.sh --fix` formats in place.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
mapfile -t sources < <(git ls-files 'include/*.h' 'lib/*.h' 'lib/*.cc' 'capi/*.h' 'capi/*.cc' 'tests/*.h' 'tests/*.cc' 'bench/*.h' 'bench/*.cc' 'python/*.cc' 'python/*.h')
if [ "${1:-}" = --fix ]; then
  clang-format -i "${sources[@]}"
  exit 0
fi
clang-format --dry-run --Werror "${sources[@]}"
cmake --preset ci -DCMAKE_EXPORT_COMPILE_COMMANDS=ON >/dev/null
mapfile -t units < <(git ls-files 'lib/*.cc' 'capi/*.cc')
printf '%s\n' "${units[@]}" | xargs -P 2 -n 4 clang-tidy --quiet -p build/ci 2>/dev/null
echo "lint: ${#sources[@]} files formatted, ${#units[@]} units tidy"
