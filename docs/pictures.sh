#!/bin/sh
# Draws docs/pictures anew from the demo: a card, a batch record, the chart for the wall. Needs
# poppler-utils, as the tests do. TRENCHER may name a program that is built already.
set -eu
root=$(CDPATH= cd -- "$(dirname -- "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
TRENCHER_DEMO=$work/demo sh "$root/docs/demo.sh" >"$work/said"
mkdir -p "$root/docs/pictures"
first=$(sed -n 's|^The papers, as PDF: .*/cards-\([0-9-]*\)\.pdf (A4).*|\1|p' "$work/said")
draw() { pdftoppm -q -r "$3" -f 1 -singlefile -png -gray "$work/demo/$1.pdf" "$root/docs/pictures/$2"; }
draw "cards-$first" card 75
draw "record-$first" record 75
draw wall-chart chart 75
ls "$root"/docs/pictures
