#!/bin/bash
# Reads printed labels back with independent decoders: dmtxread for Data Matrix (ISO/IEC 16022), zbarimg for Code 128
# (ISO/IEC 15417), from rasters at the two densities of thermal printers.
#   read_back.sh RENDERER PICTURE DATA_DIRECTORY          SPDX-License-Identifier: Apache-2.0
set -eu
renderer=$1 picture=$2 data=$3
work=$(mktemp -d /tmp/lb.XXXXXX)
trap 'rm -rf "$work"' EXIT
failures=0 reads=0

# What a scanner would say: bars on strips that have room for them, else the matrix.
decode() { # STOCK PICTURE
    local got=""
    case $1 in *strip) got=$(zbarimg -q --nodbus --raw -Sdisable -Scode128.enable "$2" 2>/dev/null) || : ;; esac
    [ -n "$got" ] || got=$(dmtxread -N 1 -m 3000 "$2" 2>/dev/null) || :
    printf '%s' "$got"
}

# expect STOCK PICTURE CODE WHAT
expect() {
    local got
    got=$(decode "$1" "$2")
    reads=$((reads + 1))
    if [ "${got%$'\n'}" != "$3" ]; then
        echo "not read: $4: wanted $3, got '$got'" >&2
        failures=$((failures + 1))
    fi
}

# The first COUNT labels of a kind on a stock: as printed, out of focus, gone pale, and with a corner of the symbol torn off.
check() { # KIND STOCK DPI COUNT
    local kind=$1 stock=$2 dpi=$3 at=1 code page=$work/l.png worn=$work/worn.png corner=corner wear
    local crop=()
    "$renderer" "$kind" "$data/stocks.json" "$stock" "$data/$kind.json" "$dpi" "$work/l.pdf"
    mapfile -t codes < <(grep -o '"code": *"[^"]*"' "$data/$kind.json" | cut -d'"' -f4)
    # Of a sheet its first label, 70 x 36 mm; of a kit its first of several.
    [ "$stock" != sheet ] || crop=(-x 0 -y 0 -W $((dpi * 70 * 10 / 254)) -H $((dpi * 42 * 10 / 254)))
    [ "$stock" != sheet ] && [ "$kind" != kit ] || codes=("${codes[@]:0:1}")
    case $stock in *strip) corner=bars-corner ;; esac
    for code in "${codes[@]:0:$4}"; do
        pdftoppm -r "$dpi" -gray -png -singlefile "${crop[@]}" -f "$at" -l "$at" "$work/l.pdf" "$work/l"
        at=$((at + 1))
        expect "$stock" "$page" "$code" "$kind $stock $dpi dpi"
        for wear in blur pale "$corner"; do
            "$picture" "$wear" "$page" "$worn" "$dpi" || wear="$wear (no symbol found)"
            expect "$stock" "$worn" "$code" "$kind $stock $dpi dpi, $wear"
        done
    done
}

for dpi in 203 300; do
    for stock in 100x50 62x29 89x36 strip short-strip upright sheet; do
        check piece "$stock" "$dpi" 3
    done
    for kind in kit offcut bar bin parcel; do
        check "$kind" 62x29 "$dpi" 1
        check "$kind" strip "$dpi" 1
    done
done
echo "$reads symbols read back, $failures not"
[ "$failures" = 0 ] && [ "$reads" -gt 200 ]
