#!/bin/sh
# one.sh SECONDS FOLDER TARGET: runs one fuzz target from its seeds. FOLDER gets its log, what it
# found that covers more, and what failed. Says in one line what was done; status 1 where something
# failed, with the command that shows it again.
set -eu
seconds=$1 folder=$2 target=$3
root=$(CDPATH= cd -- "$(dirname -- "$0")/../.." && pwd)
program=${BUILD:-$root/build-fuzz}/tests/fuzz/fuzz_$target
case $target in
  journal) longest=40000 ;;
  amounts | codes) longest=200 ;;
  *) longest=4096 ;;
esac
set -- "-max_total_time=$seconds" "-timeout=${TIMEOUT:-25}" -rss_limit_mb=2048 "-max_len=$longest" \
  "-artifact_prefix=$folder/failed-$target-" -print_final_stats=1 \
  ${SEED:+"-seed=$SEED"}
dictionary=$root/tests/fuzz/dictionaries/$target
[ ! -f "$dictionary" ] || set -- "$@" "-dict=$dictionary"
mkdir -p "$folder/corpus-$target"
log=$folder/$target.log
status=0
"$program" "$@" "$folder/corpus-$target" "$root/tests/fuzz/seeds/$target" >"$log" 2>&1 || status=$?
took=$(sed -n 's/^Done .* in \([0-9]*\) second.*/\1/p' "$log")
runs=$(sed -n 's/^stat::number_of_executed_units: //p' "$log")
cover=$(sed -n 's/^#[0-9]*.* cov: \([0-9]*\) ft: \([0-9]*\) .*/\1 edges, \2 features/p' "$log" | tail -n 1)
echo "fuzz_$target: ${runs:-no} executions, ${took:-?} s, ${cover:-no coverage}"
[ "$status" -ne 0 ] || exit 0
grep -v '^#[0-9]' "$log" | grep -v NEW_FUNC | tail -n 60
echo "fuzz_$target failed (status $status). To see it again: $program $(find "$folder" -name "failed-$target-*" | head -n 1)"
exit 1
