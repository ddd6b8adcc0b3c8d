#!/bin/sh
# clang-format and clang-tidy over every source and header of ours; status 1 or more on a finding.
#   tidy.sh [FILE.cpp ...]    with paths: clang-tidy over these sources only
# It reads the compile commands of the build folder. A source that passed is not asked again while it,
# all that it includes, the checks and clang-tidy stay the same; TIDY_CACHE names the folder where
# that is remembered.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
build=${BUILD:-$root/build}
cache=${TIDY_CACHE:-$build/tidy}
scope=$build/tidy_scope.so

ask() {
  case $1 in  # the fuzz targets are in the sanitizers' build alone
    */tests/fuzz/*) clang-tidy --load="$scope" --quiet "$1" -- -std=c++20 -I "$root/src" \
      -DTRENCHER_SOURCE_DIR='"."' ;;
    *) clang-tidy --load="$scope" -p "$build" --quiet "$1" ;;
  esac
}

if [ "${1-}" = --one ]; then  # one source, as called below
  # -C: comments count, because a NOLINT is one. What cannot be read so has a key of its own each time.
  # shellcheck disable=SC2046  # flags, or none
  key=$({ cat "$root/.clang-tidy" "$root/tests/.clang-tidy" && clang-tidy --version &&
    clang++ -x c++ -std=c++20 -E -C -P -I "$root/src" $(pkg-config --cflags fribidi) "$2" \
      2>/dev/null || date +%s%N; } |
    sha256sum | cut -c 1-64)
  [ ! -e "$cache/$key" ] || exit 0
  if out=$(ask "$2" 2>&1); then
    : >"$cache/$key"
    exit 0
  fi
  printf '%s\n' "$out" | grep -v ' generated\.$'
  exit 1
fi

mkdir -p "$cache"
if [ ! "$scope" -nt "$root/tests/tidy_scope.cpp" ]; then
  clang++ -std=c++17 -fno-rtti -fPIC -shared -O1 -isystem "$(llvm-config --includedir)" \
    "$root/tests/tidy_scope.cpp" -o "$scope"
fi
if [ $# -eq 0 ]; then
  find "$root/src" "$root/tests" -name '*.cpp' -o -name '*.h' -o -name '*.c' | sort |
    xargs clang-format --dry-run -Werror
  # Not the build folder's embedded_*.cpp, which are rows of bytes that nobody writes.
  # shellcheck disable=SC2046  # a list of paths without spaces
  set -- $(find "$root/src" "$root/tests" -name '*.cpp' ! -name tidy_scope.cpp | sort)
fi
printf '%s\n' "$@" | xargs -P "$(nproc)" -n 1 nice sh "$root/tests/tidy.sh" --one
echo "tidy: $# sources, no finding"
