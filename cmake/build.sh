#!/usr/bin/env bash
# First command of the README: installs what is missing, builds all that `cmake --install build/install` lays down, and
# ranks the demonstration orders.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
cmake/packages.sh packages.txt
cmake --preset install >/dev/null
cmake --build --preset install
tarewise=build/install/lib/command/tarewise
"$tarewise" check tables/demo
for order in tables/demo-orders/*.json; do
  echo
  echo "== $(basename "$order" .json)"
  status=0
  "$tarewise" rank --tables tables/demo "$order" || status=$?
  # 1 is an answer too: nothing can be offered.
  [ "$status" -le 1 ] || exit "$status"
done
echo
echo "Try it: $tarewise rank --tables tables/demo --weight '1 lb 3 oz' --sides '12 x 9 x 4 in' --from 'US 05401' --to 'US 98101' --date 2026-08-03 --currency USD"
