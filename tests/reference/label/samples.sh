#!/bin/bash
# Pictures of labels and sheets, for looking at and for the README: the first of each kind, as NAME.png in a directory.
#   samples.sh RENDERER DATA_DIRECTORY DIRECTORY          SPDX-License-Identifier: Apache-2.0
set -eu
renderer=$1 data=$2 directory=$3
work=$(mktemp -d /tmp/lp.XXXXXX)
trap 'rm -rf "$work"' EXIT
mkdir -p "$directory"

picture() { # NAME DPI PAGE
    pdftoppm -r "$2" -gray -png -singlefile -f "$3" -l "$3" "$work/a.pdf" "$directory/$1"
}

for label in piece:100x50 piece:62x29 piece:89x36 piece:strip kit:100x50 kit:62x29 offcut:100x50 offcut:62x29 bar:62x29 \
    bin:89x36 parcel:100x50 piece:sheet; do
    kind=${label%:*} stock=${label#*:}
    "$renderer" "$kind" "$data/stocks.json" "$stock" "$data/$kind.json" 203 "$work/a.pdf"
    case $stock in sheet) picture "$kind-$stock" 80 1 ;; *) picture "$kind-$stock" 203 1 ;; esac
done
for sheet in cut-sheet pick-list packing-list; do
    "$renderer" "$sheet" "$data/$sheet.json" "$work/a.pdf"
    picture "$sheet" 100 1
done
"$renderer" fitting-sheet "$data/fitting-sheet.json" "$work/a.pdf"
picture fitting-sheet 100 3
picture fitting-sheet-steps 100 4
picture fitting-sheet-bay 100 5
