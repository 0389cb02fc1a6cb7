#!/bin/bash
# Copies the source and raises its version to 0.99.0, which then says something else of one mistake:
#   tests/consume/two_versions/raise.sh SOURCE COPY
set -euo pipefail
source=$1
copy=$2
mkdir -p "$copy/tables"
cp -r "$source"/{CMakeLists.txt,LICENSE,capi,cmake,include,lib} "$copy/"
cp -r "$source"/tables/{demo,FORMAT.md} "$copy/tables/"

raise() {  # raise FILE SED_EXPRESSION: it must change something
  cp "$copy/$1" "$copy/before"
  sed -i -e "$2" "$copy/$1"
  ! cmp -s "$copy/before" "$copy/$1" || { echo "$1: nothing to change by $2" >&2; exit 1; }
  rm "$copy/before"
}
raise CMakeLists.txt 's/^project(tarewise VERSION [0-9.]*/project(tarewise VERSION 0.99.0/'
raise include/tarewise/version.h 's/TW_VERSIONED v[0-9_]*/TW_VERSIONED v0_99/'
raise include/tarewise/version.h 's/\(TAREWISE_VERSION_STRING "\)[0-9.]*/\10.99.0/'
raise include/tarewise/version.h 's/\(TAREWISE_VERSION_MINOR\) [0-9]*/\1 99/'
raise capi/tarewise_c.h 's/\(define TW_VERSION_MINOR\) [0-9]*/\1 99/'
raise include/tarewise/units/internal/quantity_text.h 's/message += ", expected "/message += ", awaited "/'
