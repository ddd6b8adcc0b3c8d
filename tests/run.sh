#!/bin/sh
# Every check: packages, build with warnings as errors, and all tests. Works from any folder.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build

sh "$root/docs/install-packages.sh" tests

launcher=
if command -v ccache >/dev/null; then launcher=-DCMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
cmake -S "$root" -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=Release -DTRENCHER_TESTS=ON \
  -DTRENCHER_STRICT=ON $launcher
cmake --build "$build"

/usr/bin/python3 "$root/tests/headers.py"
# Layering, lengths and the run texts are among its tests.
ctest --test-dir "$build" --output-on-failure --no-tests=error -j "$(nproc)" -O "$build/ctest.log"

sh "$root/tests/tidy.sh"
sh "$root/tests/memcheck.sh"
sh "$root/tests/sanitize.sh"
sh "$root/tests/fuzz/smoke.sh"
tail -n 5 "$build/ctest.log"
