#!/bin/sh
# long.sh [SECONDS [TARGET...]]: each fuzz target for 20 minutes (or as long as said), two at a time
# and behind whatever else the machine does, into build-fuzz/long/; then a table of executions,
# seconds and coverage. What an earlier long run found is gone on from. Status 1 on any finding.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/../.." && pwd)
sh "$root/tests/fuzz/build.sh"
folder=${BUILD:-$root/build-fuzz}/long
mkdir -p "$folder"
seconds=${1:-1200}
[ $# -eq 0 ] || shift
# shellcheck disable=SC2046  # names without blanks
[ $# -gt 0 ] || set -- $(cd "$root/tests/fuzz" && ls fuzz_*.cpp | sed 's/^fuzz_//; s/\.cpp$//')
export TIMEOUT=100
printf '%s\n' "$@" | xargs -P 2 -n 1 nice -n 19 sh "$root/tests/fuzz/one.sh" "$seconds" "$folder" |
  tee "$folder/table.txt"
! grep -q "^fuzz_.* failed" "$folder/table.txt"
