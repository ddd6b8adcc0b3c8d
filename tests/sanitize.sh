#!/bin/sh
# The unit tests and the run texts with the program built under AddressSanitizer, LeakSanitizer and
# UndefinedBehaviorSanitizer. Status 1 where one of them fails.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=${BUILD:-$root/build-fuzz}
sh "$root/tests/fuzz/build.sh"
export UBSAN_OPTIONS=print_stacktrace=1 ASAN_OPTIONS=detect_stack_use_after_return=1
find "$build/tests" -maxdepth 1 -name 'test_*' -type f -perm -u+x | sort |
  xargs -P 2 -n 1 sh -c 'out=$("$0" 2>&1) && status=0 || status=$?
    [ "$status" -eq 0 ] || printf "%s\n" "$out"
    echo "sanitized ${0##*/}: status $status, $(printf "%s\n" "$out" | tail -n 2 | tr "\n" " ")"
    [ "$status" -eq 0 ]'
/usr/bin/python3 "$root/tests/run_texts.py" --trencher "$build/trencher" --jobs 2 "$root"/tests/runs/*.txt
