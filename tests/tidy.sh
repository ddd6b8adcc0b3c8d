#!/bin/sh
# clang-format, the length of files, and clang-tidy over every source and header of ours; status 1 on
# a finding. With arguments, clang-tidy over these sources only. It reads the compile commands of the
# build folder. A source that passed is not asked again while it, all that it includes, the checks
# and clang-tidy stay the same; TIDY_CACHE names the folder where that is remembered.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=${BUILD:-$root/build}
cache=${TIDY_CACHE:-$build/tidy}

if [ "${1-}" = --one ]; then  # one source, as called below
  # -C: comments count, because a NOLINT is one.
  key=$({ cat "$root/.clang-tidy" "$root/tests/.clang-tidy" && clang-tidy --version &&
    clang++ -x c++ -std=c++20 -E -C -P -I "$root/src" "$2" 2>/dev/null || date +%s%N; } |
    sha256sum | cut -c 1-64)
  [ ! -e "$cache/$key" ] || exit 0
  case $2 in  # the fuzz targets are in the sanitizers' build alone
    */tests/fuzz/*) out=$(clang-tidy --quiet "$2" -- -std=c++20 -I "$root/src" 2>&1) && ok=1 || ok=0 ;;
    *) out=$(clang-tidy -p "$build" --quiet "$2" 2>&1) && ok=1 || ok=0 ;;
  esac
  if [ $ok -eq 1 ]; then
    : >"$cache/$key"
  else
    printf '%s\n' "$out" | grep -v ' generated\.$'
    exit 1
  fi
  exit 0
fi

mkdir -p "$cache"
if [ $# -eq 0 ]; then
  find "$root/src" "$root/tests" -name '*.cpp' -o -name '*.h' -o -name '*.c' | sort |
    xargs clang-format --dry-run -Werror
  /usr/bin/python3 "$root/tests/lengths.py"
  # Of the build folder's own sources, embedded_*.cpp are bytes in rows: nothing there is written by hand.
  set -- $(find "$root/src" "$root/tests" -name '*.cpp' | sort)
fi
printf '%s\n' "$@" | xargs -P "$(nproc)" -n 1 sh "$root/tests/tidy.sh" --one
echo "tidy: $# sources, no finding"
