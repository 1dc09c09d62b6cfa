#!/usr/bin/env bash
# Prints the bytes of a first visit, file by file, for the app and for a bare Leptos page built the
# same way: bash tests/bytes.sh
#
# The first number of a line is what crosses the wire (brotli), the second the plain size.

cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
# shellcheck source=app/tools.sh
. app/tools.sh

bash app/serve.sh --build-only
say "building the bare page"
quietly with_wasm trunk --skip-version-check build --release --dist target/bare \
    tests/bench/bare/index.html || fail "the bare page did not build"
say "the app"
node tests/bench/bytes.mjs dist
say "the bare page"
# What the app's hooks leave there too is none of the bare page's; its service worker stores it all the same.
COUNTED=$(mktemp -d)
trap 'rm -rf "$COUNTED"' EXIT
cp target/bare/* "$COUNTED"
rm -f "$COUNTED"/words-* "$COUNTED"/notices.txt*
node tests/bench/bytes.mjs "$COUNTED"
