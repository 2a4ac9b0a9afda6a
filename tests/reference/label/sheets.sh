#!/bin/bash
# Looks at the sheets with other people's eyes: pdfinfo for the paper, pdftotext for where each word stands and that the
# figures are there, dmtxread for the scan symbol.
#   sheets.sh RENDERER DATA_DIRECTORY          SPDX-License-Identifier: Apache-2.0
set -eu
renderer=$1 data=$2
work=$(mktemp -d /tmp/ls.XXXXXX)
trap 'rm -rf "$work"' EXIT
failures=0

complain() {
    echo "$1" >&2
    failures=$((failures + 1))
}

# Words that are too small to read, that leave the paper's margins (5 mm at least), and pairs of level words that lie on each other.
misplaced() { # HTML of pdftotext -bbox
    awk '
        /<page/ { count = 0; page++ }
        /<word/ {
            split($0, part, "\"")
            left = part[2]; top = part[4]; right = part[6]; bottom = part[8]
            text = $0; sub(/.*">/, "", text); sub(/<\/word>.*/, "", text)
            if (left < 14 || top < 14 || right > 595.3 - 14 || bottom > 841.9 - 14)
                print "page " page ": \"" text "\" leaves the margins"
            # A line of 6 points is 6.98 high in this face; a word that stands has it as its width.
            wide = right - left; high = bottom - top
            line = length(text) < 4 ? (wide > high ? wide : high) : high > 1.2 * wide ? wide : high
            if (line < 6.9)
                print "page " page ": \"" text "\" is smaller than 6 points"
            # Upright words have boxes higher than wide; their boxes are as true.
            for (i = 0; i < count; i++) {
                across = (right < rights[i] ? right : rights[i]) - (left > lefts[i] ? left : lefts[i])
                down = (bottom < bottoms[i] ? bottom : bottoms[i]) - (top > tops[i] ? top : tops[i])
                high = bottom - top < bottoms[i] - tops[i] ? bottom - top : bottoms[i] - tops[i]
                if (across > 1 && down > 0.45 * high)
                    print "page " page ": \"" text "\" lies on \"" texts[i] "\""
            }
            lefts[count] = left; tops[count] = top; rights[count] = right; bottoms[count] = bottom
            texts[count++] = text
        }' "$1"
}

# check KIND CODE WORDS...: the code on the first page ("" for none), and words that must stand somewhere.
check() {
    local kind=$1 code=$2 word got
    shift 2
    local document=$data/$kind.json
    [ "$kind" != curtain-sheet ] || document=$data/fitting-sheet.json # it is drawn from the same document
    "$renderer" "$kind" "$document" "$work/s.pdf"
    "$renderer" "$kind" "$document" "$work/again.pdf"
    cmp -s "$work/s.pdf" "$work/again.pdf" || complain "$kind: other bytes the second time"
    pdfinfo "$work/s.pdf" | grep -q 'Page size: *595.276 x 841.89 pts (A4)' || complain "$kind: not on A4 (ISO 216)"
    pdftotext -bbox "$work/s.pdf" "$work/words.html"
    misplaced "$work/words.html" >"$work/misplaced"
    while read -r word; do complain "$kind: $word"; done <"$work/misplaced"
    pdftotext -layout "$work/s.pdf" "$work/text"
    for word in "$@"; do
        grep -qF -- "$word" "$work/text" || complain "$kind: \"$word\" is missing"
    done
    [ -n "$code" ] || return 0
    pdftoppm -r 200 -gray -png -f 1 -l 1 -x 1300 -y 0 -W 354 -H 300 "$work/s.pdf" "$work/head"
    got=$(dmtxread -N 1 -m 3000 "$work"/head*.png) || :
    [ "$got" = "$code" ] || complain "$kind: wanted code $code, read '$got'"
    rm -f "$work"/head*.png
}

code() { # KIND: the first code in its sample
    grep -o '"code": *"[^"]*"' "$data/$1.json" | head -n 1 | cut -d'"' -f4
}

check fitting-sheet "$(code fitting-sheet)" 1991 1690 "opening 3200" "track overall 3500" "8 mm, 60 mm deep" \
    "2 Lark end stop, bronze" "a small child can strangle" "seen from above" "page 10 of 10"
check cut-sheet "" "Plan 27" 1830.5 3554.7 5186.9 "810.9 mm remains: back to the rack" "52.3 mm remains: scrap" \
    "Nothing remains" "3 bars alike" "end is square" "Clamp 5 and 6 together" "Sawn together with 5"
check pick-list "" "A-01" "11890 mm" "118" "K311L" "7 lines, 4 kits"
check curtain-sheet "" 1790 2215 "6 widths, 14430 mm to buy" "STAGE" "page 1 of 1"
check packing-list "$(code packing-list)" "Parcel 2 of 2" "tube 3 m, 3.9 kg, longest piece 2400 mm" "fitting sheet" "1 Sample Lane"
check dispatch-note "$(code dispatch-note)" "Parcel 2 of 3" "box 40 x 30 x 15 cm" "1.2 kg" "carried by ourselves" "Taken over by"
check control-codes "" "DONE" "SPOILED" "a piece was mis-cut: scan it next" "X1F" "page 1 of 1"
pdftoppm -r 200 -gray -png -singlefile -x 90 -y 300 -W 170 -H 160 "$work/s.pdf" "$work/done"
got=$(dmtxread -N 1 -m 3000 "$work/done.png") || :
[ "$got" = X1F ] || complain "control-codes: wanted code X1F, read '$got'"
check count-sheet "$(code count-sheet)" "Bin A-01" "W-2307" "What else lies there" "Rack R-3" "count 2" "page 2 of 2"
check measuring-sheet "" "A-2044" "due 2026-12-20" "A middle" "free wall, right" "studs (plasterboard on studs)" "T12 (Sample track 12" \
    "angle a" "above the floor" "notes" "page 2 of 2"
[ "$failures" = 0 ]
