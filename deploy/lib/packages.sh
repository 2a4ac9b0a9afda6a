# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# Debian packages: deploy/packages.txt says which and why.

as_root() {
    if [ "$(id -u)" = 0 ]; then
        "$@"
    else
        sudo "$@"
    fi
}

# packages_missing GROUP...: the packages of these groups that are not installed, one a line.
packages_missing() {
    local group package _
    while read -r group package _; do
        case " $* " in
            *" $group "*) ;;
            *) continue ;;
        esac
        [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || printf '%s\n' "$package"
    done < <(grep -v '^#' "$DEPLOY_DIR/packages.txt")
}

# packages_install GROUP...: installs what is missing, and nothing else. Nothing is asked of apt when all is there.
packages_install() {
    local -a missing
    mapfile -t missing < <(packages_missing "$@")
    [ "${#missing[@]}" -gt 0 ] || return 0
    say "Installing from Debian: ${missing[*]}"
    if [ "$(id -u)" != 0 ] && ! command -v sudo >/dev/null; then
        fail "These packages are missing and installing needs root: run this script as root, or install sudo."
    fi
    mkdir -p "$CHECKOUT/build"
    # Two checkouts may come here at once: one waits for the other.
    quietly "$CHECKOUT/build/install.log" "Installing packages" \
        as_root flock /var/lock bash "$DEPLOY_DIR/lib/install-packages" "${missing[@]}"
}
