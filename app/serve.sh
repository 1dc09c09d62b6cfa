#!/usr/bin/env bash
# Builds the release app and serves it on this machine: bash app/serve.sh [--port N]
#
# On a fresh Debian or Ubuntu with Rust from rustup, Node and git it first installs what is
# missing (see app/tools.sh). `--build-only` stops after the build, in dist/.

cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
# shellcheck source=app/tools.sh
. app/tools.sh

say "building the release app into dist/"
with_wasm trunk --skip-version-check build --release || fail "the build failed"
if [ "${1:-}" = --build-only ]; then exit 0; fi
quietly cargo build --locked -p laneside-tests --bin serve || fail "the server did not build"
exec cargo run --locked --quiet -p laneside-tests --bin serve -- dist "$@"
