#!/bin/sh
# Installs the Debian 12 packages that are missing: what building and running needs, and with the
# argument `tests` what the tests need too, with `bench` the word processor that the bench times beside.
set -eu

packages='
  g++ cmake ninja-build pkg-config
  libsqlitecpp-dev libsqlite3-dev libhpdf-dev libcli11-dev nettle-dev rapidjson-dev
  libtomlplusplus-dev libfmt-dev libabsl-dev tzdata libqrencode-dev libjpeg62-turbo-dev libcsv-dev
  libkainjow-mustache-dev libutfcpp-dev libfribidi-dev fonts-dejavu-core'
test_packages='catch2 qpdf poppler-utils zbar-tools python3 python3-icalendar
  python3-jsonschema sqlite3 faketime z3 ccache clang libclang-rt-14-dev llvm
  clang-format clang-tidy libclang-14-dev llvm-14-dev valgrind strace
  dpkg-dev file groff-base zsh fish'

case ${1-} in
  '') ;;
  tests) packages="$packages $test_packages" ;;
  bench) packages="$packages $test_packages libreoffice-writer-nogui" ;;
  *) echo "usage: $0 [tests|bench]" >&2; exit 2 ;;
esac

missing=
for package in $packages; do
  status=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

as_root=
[ "$(id -u)" -eq 0 ] || as_root=sudo
echo "Installing:$missing"
$as_root apt-get update -q
# shellcheck disable=SC2086  # a list of words, and a command that may be none
$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
