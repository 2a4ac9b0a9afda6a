#!/bin/bash
# Labels and sheets against pictures of them that were looked at and found good. A little difference is let pass (another
# version of a font or of a library); a text that moved or went missing is not. And nothing is grey: thermal printers and
# bad light know black and white only.
#   golden.sh RENDERER PICTURE DATA_DIRECTORY GOLDEN_DIRECTORY [--renew]     SPDX-License-Identifier: Apache-2.0
set -eu
renderer=$1 picture=$2 data=$3 golden=$4 renew=${5:-}
work=$(mktemp -d /tmp/lg.XXXXXX)
trap 'rm -rf "$work"' EXIT
failures=0

# compare NAME DPI: $work/a.pdf's first page
compare() {
    local name=$1 difference
    pdftoppm -r "$2" -gray -png -singlefile -f 1 -l 1 "$work/a.pdf" "$work/a"
    if [ "$renew" = --renew ]; then
        cp "$work/a.png" "$golden/$name.png"
        return
    fi
    pdftoppm -r 150 -gray -png -singlefile -f 1 -l 1 -aa no -aaVector no "$work/a.pdf" "$work/g"
    if [ "$("$picture" greys "$work/g.png")" != 0 ]; then
        echo "$name: something on it is grey" >&2
        failures=$((failures + 1))
    fi
    difference=$("$picture" differ "$work/a.png" "$golden/$name.png")
    if awk -v difference="$difference" 'BEGIN { exit difference <= 6 }'; then
        echo "$name: differs by $difference, 6 is let pass" >&2
        failures=$((failures + 1))
    fi
}

for label in piece:100x50 kit:100x50 offcut:62x29 piece:strip bin:89x36 parcel:100x50; do
    kind=${label%:*} stock=${label#*:}
    "$renderer" "$kind" "$data/stocks.json" "$stock" "$data/$kind.json" 203 "$work/a.pdf"
    compare "$kind-$stock" 100
done
for sheet in fitting-sheet cut-sheet pick-list packing-list dispatch-note count-sheet measuring-sheet; do
    "$renderer" "$sheet" "$data/$sheet.json" "$work/a.pdf"
    compare "$sheet" 60
done
[ "$failures" = 0 ]
