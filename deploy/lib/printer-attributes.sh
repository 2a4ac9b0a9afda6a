# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# printer_attributes WIDTHxHEIGHT...: the attribute file of a 300 dpi label printer without margins, for ippeveprinter
# -a, on standard output. Sizes in mm; each has a tray of its own, and other sizes of 20 to 216 by 10 to 300 mm are taken too.
# Each stock size must be listed: CUPS takes an unlisted one through whole points and hands on 79.72 for 80 mm.
# Names of attributes and media: RFC 8011 and PWG 5101.1 (custom_NAME_WxHmm, om_NAME_WxHmm).

printer_media() { # SIZE...: one media-col of each size, comma-separated, sizes in hundredths of mm
    local size separator=""
    for size in "$@"; do
        printf '%s{MEMBER collection media-size {MEMBER integer x-dimension %s00 MEMBER integer y-dimension %s00}' \
            "$separator" "${size%x*}" "${size#*x}"
        printf ' MEMBER integer media-%s-margin 0' bottom left right top
        printf ' MEMBER keyword media-source main MEMBER keyword media-type labels}'
        separator=,
    done
}

printer_attributes() {
    local first=om_$1mm-label_$1mm size names="" sizes=""
    local range='MEMBER rangeOfInteger x-dimension 2000-21600 MEMBER rangeOfInteger y-dimension 1000-30000'
    for size in "$@"; do
        names+="\"om_${size}mm-label_${size}mm\","
        sizes+="{MEMBER integer x-dimension ${size%x*}00 MEMBER integer y-dimension ${size#*x}00},"
    done
    cat <<ATTRIBUTES
ATTR textWithoutLanguage printer-make-and-model "Example label printer 300 dpi"
ATTR textWithoutLanguage printer-device-id "MFG:Example;MDL:Label printer 300 dpi;CMD:PDF;"
ATTR keyword media-supported ${names}"custom_min_20x10mm","custom_max_216x300mm"
ATTR keyword media-default "$first"
ATTR keyword media-ready ${names%,}
ATTR keyword media-source-supported "main"
ATTR keyword media-type-supported "labels"
$(printf 'ATTR integer media-%s-margin-supported 0\n' bottom left right top)
ATTR collection media-size-supported ${sizes}{$range}
ATTR collection media-col-database $(printer_media "$@"),{MEMBER collection media-size {$range}$(printf ' MEMBER integer media-%s-margin 0' bottom left right top)}
ATTR collection media-col-default $(printer_media "$1")
ATTR collection media-col-ready $(printer_media "$@")
ATTR boolean color-supported false
ATTR keyword print-color-mode-supported monochrome
ATTR keyword print-color-mode-default monochrome
ATTR keyword sides-supported one-sided
ATTR keyword sides-default one-sided
ATTR resolution printer-resolution-supported 300dpi
ATTR resolution printer-resolution-default 300dpi
ATTR enum print-quality-supported 4
ATTR enum print-quality-default 4
ATTR enum orientation-requested-supported 3,4,5,6
ATTR enum orientation-requested-default 3
ATTR enum finishings-supported 3
ATTR enum finishings-default 3
ATTR keyword output-bin-supported face-up
ATTR keyword output-bin-default face-up
ATTR rangeOfInteger copies-supported 1-999
ATTR integer copies-default 1
ATTR mimeMediaType document-format-supported "application/pdf","application/octet-stream"
ATTR mimeMediaType document-format-default "application/octet-stream"
ATTRIBUTES
}
