#!/bin/sh
# Every check: packages, build with warnings as errors, and all tests. Works from any folder.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build

stage() { echo "== $(date +%H:%M:%S) $1"; }

stage packages
sh "$root/docs/install-packages.sh" tests

launcher=
if command -v ccache >/dev/null; then launcher=-DCMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
stage build
cmake -S "$root" -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=Release -DTRENCHER_TESTS=ON \
  -DTRENCHER_STRICT=ON $launcher
cmake --build "$build"

stage headers
/usr/bin/python3 "$root/tests/headers.py"
stage tests
# Layering, lengths and the run texts are among its tests.
ctest --test-dir "$build" --output-on-failure --no-tests=error -j "$(nproc)" -O "$build/ctest.log"

for check in tidy memcheck sanitize fuzz/smoke; do
  stage "$check"
  sh "$root/tests/$check.sh"
done
stage "all passed"
tail -n 5 "$build/ctest.log"
