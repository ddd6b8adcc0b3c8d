#!/bin/sh
# Valgrind's memcheck over a part of the unit tests: what goes through libraries that the sanitizers
# do not see into (SQLite, libharu, libjpeg, libcsv, nettle), as built for use. Status 1 on an error
# or a block of memory that is lost.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=${BUILD:-$root/build}

check() {
  program=$1
  shift
  echo "memcheck test_$program $*"
  valgrind -q --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite \
    "$build/tests/test_$program" "$@" >"$build/memcheck.log" 2>&1 && return
  cat "$build/memcheck.log"
  exit 1
}

check domain
check exchange
check book 'import: an export becomes*,import: the imported*,verify: a book*,forget: no hash*,book file: a*'
check paper 'A full card*,Names with signs*,a damaged picture*,progressive*,a PDF holds*,A file is sound*'
