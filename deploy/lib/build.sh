# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# Building with CMake and Ninja into build/NAME of the checkout.

# build_tree NAME TARGET CMAKE_OPTION...: configures build/NAME and builds TARGET; output only on failure.
build_tree() {
    local tree=$CHECKOUT/build/$1 target=$2 log=$CHECKOUT/build/$1.log
    local -a fresh=()
    shift 2
    # A checkout that was copied or moved brings a cache that names the old place.
    if [ -f "$tree/CMakeCache.txt" ] && ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$CHECKOUT" "$tree/CMakeCache.txt"; then
        fresh=(--fresh)
    fi
    quietly "$log" "Configuring $tree" cmake "${fresh[@]}" -S "$CHECKOUT" -B "$tree" -G Ninja "$@"
    quietly "$log" "Building $tree" ninja -C "$tree" "$target"
}

# build_programs: the release build of everything that is run: build/release/{ellwandd,ellwand,bench/}. A tree that
# deploy/check configured with tests keeps them, so that going back and forth rebuilds nothing.
build_programs() {
    local -a options=(-DCMAKE_BUILD_TYPE=Release)
    [ -f "$CHECKOUT/build/release/CMakeCache.txt" ] || options+=(-DELLWAND_TESTS=OFF)
    build_tree release programs "${options[@]}"
}
