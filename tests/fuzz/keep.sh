#!/bin/sh
# Keeps what a long run found as seeds: per target the fewest inputs that cover as much, smallest
# first, up to 150 KB. A seed whose name begins with "fault-" showed a fault once and always stays.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/../.." && pwd)
build=${BUILD:-$root/build-fuzz}
for seeds in "$root"/tests/fuzz/seeds/*; do
  target=$(basename "$seeds")
  merged=$build/merged/$target
  rm -rf "$merged"
  mkdir -p "$merged"
  "$build/tests/fuzz/fuzz_$target" -merge=1 "$merged" "$seeds" "$build/long/corpus-$target" \
    >"$build/merged/$target.log" 2>&1
  find "$seeds" -type f ! -name 'fault-*' -exec rm {} +
  size=0
  for file in $(find "$merged" -type f -size -60k -printf '%s %p\n' | sort -n | cut -d ' ' -f 2); do
    size=$((size + $(stat -c %s "$file")))
    [ "$size" -le 150000 ] || break
    cp "$file" "$seeds/"
  done
  echo "$target: $(find "$seeds" -type f | wc -l) seeds, $(du -sb "$seeds" | cut -f 1) bytes"
done
