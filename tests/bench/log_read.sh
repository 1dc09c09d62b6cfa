#!/usr/bin/env bash
# Times the reading of a log of a million rows and eight columns (48 MB): natively against polars, and in a browser
# against uDSV, PapaParse and d3-dsv: bash tests/bench/log_read.sh
#
# The log, polars and the JavaScript readers go into a temporary folder that is removed at the end.

cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit 1
# shellcheck source=app/tools.sh
. app/tools.sh

TARGET=${CARGO_TARGET_DIR:-target}
FOLDER=$(mktemp -d)
trap 'rm -rf "$FOLDER"' EXIT

say "making the log"
python3 tests/fixtures/make_long_log.py "$FOLDER/log.csv" || fail "the log could not be made"

say "natively, against polars (its threads: all processors; ours: one)"
quietly python3 -m venv "$FOLDER/python" || fail "python3 has no venv"
quietly "$FOLDER/python/bin/pip" install polars==2.1.0 || fail "polars could not be installed"
quietly cargo build --locked --profile bench -p laneside-tests --bin log-read || fail "the bench did not build"
"$TARGET/release/log-read" "$FOLDER/log.csv" | tee "$FOLDER/ours"
"$FOLDER/python/bin/python" tests/bench/log_read_polars.py "$FOLDER/log.csv" "$FOLDER/ours" || exit 1

say "in a browser, against uDSV, PapaParse and d3-dsv"
quietly with_wasm cargo build --locked --release -p laneside-log-read --target wasm32-unknown-unknown ||
    fail "the module did not build"
PAGE=$FOLDER/page
mkdir "$PAGE"
quietly wasm-bindgen --target web --no-typescript --out-dir "$PAGE" \
    "$TARGET/wasm32-unknown-unknown/release/laneside_log_read.wasm" || fail "wasm-bindgen failed"
quietly wasm-opt -Oz -o "$PAGE/laneside_log_read_bg.wasm" "$PAGE/laneside_log_read_bg.wasm" ||
    fail "wasm-opt failed"
quietly npm install --prefix "$FOLDER/npm" --no-audit --no-fund udsv@0.7.3 papaparse@5.7.1 d3-dsv@3.0.2 ||
    fail "the JavaScript readers could not be installed"
cp "$FOLDER/npm/node_modules/udsv/dist/uDSV.iife.min.js" "$PAGE/udsv.js"
cp "$FOLDER/npm/node_modules/papaparse/papaparse.min.js" "$PAGE/papaparse.js"
cp "$FOLDER/npm/node_modules/d3-dsv/dist/d3-dsv.min.js" "$PAGE/d3-dsv.js"
cp tests/bench/log_read/index.html tests/bench/log_read/log_read.js "$PAGE"
mv "$FOLDER/log.csv" "$PAGE"
quietly cargo build --locked --release -p laneside-tests --features browser --bin log-read-browser ||
    fail "the bench did not build"
"$TARGET/release/log-read-browser" "$PAGE"
