#!/bin/sh
# Builds the program, the unit tests and the fuzz targets under sanitizers, by clang, in build-fuzz/.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/../.." && pwd)
launcher=
if command -v ccache >/dev/null; then launcher=-DCMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
cmake -S "$root" -B "${BUILD:-$root/build-fuzz}" -G Ninja -DTRENCHER_FUZZ=ON \
  -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ $launcher >/dev/null
cmake --build "${BUILD:-$root/build-fuzz}"
