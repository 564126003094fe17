#!/bin/sh
# setup.sh PACKAGE...: installs those Debian packages that are missing, with apt; does nothing when
# all are there.
# SPDX-License-Identifier: MIT
set -eu

if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    echo "setup: this is no Debian system; please install what corresponds to: $*" >&2
    exit 1
fi
missing=
for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' ||
        missing="$missing $package"
done
if [ -z "$missing" ]; then
    echo "setup: all packages are installed, nothing to do"
    exit 0
fi
echo "setup: installing with apt:$missing"
sudo=
if [ "$(id -u)" != 0 ]; then
    sudo=sudo
    command -v sudo >/dev/null || { echo "setup: needs root or sudo" >&2; exit 1; }
fi
$sudo apt-get update -q
# The variable goes through env, since sudo drops those of the caller.
$sudo env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
