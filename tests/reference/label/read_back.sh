#!/bin/bash
# Reads printed labels back with independent decoders: dmtxread for Data Matrix (ISO/IEC 16022), zbarimg for Code 128
# (ISO/IEC 15417), from rasters at the two densities of thermal printers.
#   read_back.sh RENDERER PICTURE DATA_DIRECTORY          SPDX-License-Identifier: Apache-2.0
set -eu
renderer=$1 picture=$2 data=$3
work=$(mktemp -d /tmp/lb.XXXXXX)
trap 'rm -rf "$work"' EXIT
failures=0 reads=0

decode() { # STOCK PICTURE: what a scanner would say
    case $1 in
    *strip) zbarimg -q --nodbus --raw -Sdisable -Scode128.enable "$2" 2>/dev/null || true ;;
    *) dmtxread -N 1 -m 3000 "$2" 2>/dev/null || true ;;
    esac
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

# Each label once as printed, and once each out of focus and gone pale.
check() { # KIND STOCK DPI
    local kind=$1 stock=$2 dpi=$3 at=0 code page worn=$work/worn.png
    "$renderer" "$kind" "$data/stocks.json" "$stock" "$data/$kind.json" "$dpi" "$work/l.pdf"
    rm -f "$work"/l-*.png
    pdftoppm -r "$dpi" -gray -png "$work/l.pdf" "$work/l"
    mapfile -t pages < <(ls "$work"/l-*.png)
    mapfile -t codes < <(grep -o '"code": *"[^"]*"' "$data/$kind.json" | cut -d'"' -f4)
    [ "${#pages[@]}" -ge "${#codes[@]}" ] || { echo "too few pages for $kind" >&2; exit 1; }
    [ "$kind" != kit ] || codes=("${codes[@]:0:1}")
    for code in "${codes[@]}"; do
        page=${pages[at]}
        at=$((at + 1))
        expect "$stock" "$page" "$code" "$kind $stock $dpi dpi"
        for wear in blur pale; do
            "$picture" "$wear" "$page" "$worn"
            expect "$stock" "$worn" "$code" "$kind $stock $dpi dpi, $wear"
        done
        if [ "$kind $stock" = "piece 100x50" ]; then
            "$picture" corner "$page" "$worn" "$dpi"
            expect "$stock" "$worn" "$code" "$kind $stock $dpi dpi, a corner gone"
        fi
    done
}

for dpi in 203 300; do
    for stock in 100x50 62x29 89x36 strip; do
        check piece "$stock" "$dpi"
    done
    check kit 100x50 "$dpi"
    check offcut 62x29 "$dpi"
    check bin 89x36 "$dpi"
    check parcel 100x50 "$dpi"
done
echo "$reads symbols read back, $failures not"
[ "$failures" = 0 ] && [ "$reads" -gt 100 ]
