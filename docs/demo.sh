#!/bin/sh
# Installs what is missing, builds Trencher, and plays seven weeks of an invented workshop through the
# public commands. Every person, shop, address and product here is made up; the readings are a made-up
# curve. A second run starts afresh.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build
if [ -z "${TRENCHER-}" ]; then
  sh "$root/docs/install-packages.sh"
  cmake -S "$root" -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=Release -DTRENCHER_TESTS=OFF
  cmake --build "$build" --target trencher
  TRENCHER=$build/trencher
fi

out=${TRENCHER_DEMO-$root/build/demo}
rm -rf "$out"
mkdir -p "$out"
export TRENCHER_BOOK="$out/book.db" TZ=Europe/London
kept=$root/docs
scenario=$kept/demo-scenario.sh
. "$scenario"
