#!/bin/sh
# example.sh CC: installs the library below build/example, as `make install` does, and builds the
# example of docs/library.md there by what its .pc file says.
# SPDX-License-Identifier: MIT
set -eu

root=$PWD/build/example
rm -rf "$root"
env -u MAKEFLAGS -u MAKELEVEL make -s install CC="$1" DESTDIR="$root" PREFIX=/usr >/dev/null
flags=$(PKG_CONFIG_PATH=$root/usr/lib/pkgconfig PKG_CONFIG_SYSROOT_DIR=$root \
    pkg-config --cflags --libs baronet)
$1 -std=c11 -Wall -Wextra -Wpedantic -Werror docs/example.c $flags -Wl,-rpath,"$root/usr/lib" -lm \
    -o "$root/example"
