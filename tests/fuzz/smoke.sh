#!/bin/sh
# Each fuzz target for 30 seconds (or as many as the argument says), two at a time, after a build
# under sanitizers. Status 1 on any finding, with the file that shows it again.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/../.." && pwd)
sh "$root/tests/fuzz/build.sh"
export SEED=1  # the same beginnings each time
folder=${BUILD:-$root/build-fuzz}/smoke
rm -rf "$folder"
mkdir -p "$folder"
for source in "$root"/tests/fuzz/fuzz_*.cpp; do basename "$source" .cpp; done | sed 's/^fuzz_//' |
  xargs -P 2 -n 1 sh "$root/tests/fuzz/one.sh" "${1:-30}" "$folder"
