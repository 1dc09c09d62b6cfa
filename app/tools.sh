# shellcheck shell=bash
# Installs what the build needs and is missing; sourced by app/serve.sh and tests/run.sh.
#
# Assumed: Debian or Ubuntu with Rust from rustup, Node and git. Each tool is pinned, goes into a
# folder of its own under the user's cache, and is not installed again. A tool of the same version
# that is already on the PATH is used as it is.

set -euo pipefail

TRUNK_PIN=0.21.14
BINARYEN_PIN=132.0.0
ESBUILD_PIN=0.28.2
# The CLI must be of the very version that the app is linked with.
WASM_BINDGEN_PIN=$(sed -n '/^name = "wasm-bindgen"$/{n;s/^version = "\(.*\)"$/\1/p}' Cargo.lock)
TOOLS=${XDG_CACHE_HOME:-$HOME/.cache}/laneside-tools
# Folder of the distribution's compiler, when that one is needed for wasm32.
WASM_RUST=

say() { printf 'laneside: %s\n' "$*"; }

fail() {
    printf 'laneside: %s\n' "$*" >&2
    exit 1
}

# Runs a noisy step; its output is shown only when it fails.
quietly() {
    local log
    log=$(mktemp)
    if ! "$@" >"$log" 2>&1; then
        tail -n 40 "$log" >&2
        rm -f "$log"
        return 1
    fi
    rm -f "$log"
}

# Installs Debian packages, as root or by sudo.
apt_install() {
    local root=()
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || fail "cannot install $*: run as root, or install sudo"
        root=(sudo)
    fi
    say "installing from the distribution: $*"
    quietly "${root[@]}" apt-get update || fail "apt-get update failed"
    quietly "${root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y --no-install-recommends "$@" || fail "could not install: $*"
}

# cargo_tool NAME VERSION PROGRAM ARGUMENT...: installs PROGRAM of the crate NAME.
cargo_tool() {
    local name=$1 version=$2 program=$3 home="$TOOLS/$1-$2"
    shift 3
    if [ ! -x "$home/bin/$program" ]; then
        if [[ " $("$program" --version 2>/dev/null || true) " == *" $version "* ]]; then return; fi
        say "installing $name $version into $home (compiled here, takes some minutes)"
        # The build folder is kept apart from the app's, so that neither disturbs the other.
        quietly env -u RUSTFLAGS CARGO_TARGET_DIR="$TOOLS/build" cargo install --locked --quiet \
            --root "$home" --version "$version" "$@" "$name" || fail "could not install $name $version"
        rm -rf "$TOOLS/build"
    fi
    PATH="$home/bin:$PATH"
}

npm_tool() {
    local name=$1 version=$2 home="$TOOLS/$1-$2"
    # npm writes this file last.
    if [ ! -f "$home/node_modules/.package-lock.json" ]; then
        say "installing $name $version into $home"
        mkdir -p "$home"
        quietly npm install --prefix "$home" --no-audit --no-fund --no-save "$name@$version" ||
            fail "could not install $name $version"
    fi
    PATH="$home/node_modules/.bin:$PATH"
}

# Where rustup cannot fetch the target's standard library, the distribution's compiler builds it.
wasm_target() {
    local libraries
    libraries=$(rustc --print sysroot)/lib/rustlib
    if [ -d "$libraries/wasm32-unknown-unknown" ]; then return; fi
    say "adding the Rust target wasm32-unknown-unknown"
    if command -v rustup >/dev/null && quietly rustup target add wasm32-unknown-unknown; then return; fi
    say "rustup cannot fetch the target; the distribution's compiler builds its standard library"
    if [ ! -x /usr/bin/cargo ] || [ ! -d /usr/lib/rustlib/src/rust/library ]; then
        apt_install rustc-web cargo-web rust-web-src
    fi
    local host linker
    host=$(rustc -vV | sed -n 's/^host: //p')
    linker=$libraries/$host/bin/rust-lld
    [ -x "$linker" ] || fail "no linker for wasm32: $linker is missing"
    export CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=$linker
    # Only the compiler is to come from /usr/bin, not whatever else is there.
    WASM_RUST=$TOOLS/distribution-rust
    mkdir -p "$WASM_RUST"
    ln -sf /usr/bin/cargo /usr/bin/rustc /usr/bin/rustdoc "$WASM_RUST"
}

# Runs a command with the compiler that can build for wasm32, and for few bytes: views of one
# type for all rather than each of its own, and no path of this machine in what panics say.
with_wasm() {
    local -x RUSTFLAGS="${RUSTFLAGS-} --cfg erase_components"
    RUSTFLAGS+=" --remap-path-prefix=${CARGO_HOME:-$HOME/.cargo}/registry/src/="
    if [ -n "$WASM_RUST" ]; then
        env PATH="$WASM_RUST:$PATH" RUSTC_BOOTSTRAP=1 CARGO_UNSTABLE_BUILD_STD=std,panic_abort "$@"
    else
        "$@"
    fi
}

command -v cargo >/dev/null || fail "Rust is missing: install it with rustup"
command -v node >/dev/null || fail "Node is missing"
command -v cc >/dev/null || apt_install build-essential
command -v npm >/dev/null || apt_install npm
[ -n "$WASM_BINDGEN_PIN" ] || fail "Cargo.lock names no wasm-bindgen"
mkdir -p "$TOOLS"
# Two runs at once would disturb each other's installation: the second waits for the first.
exec 9>"$TOOLS/lock"
flock 9
wasm_target
cargo_tool trunk "$TRUNK_PIN" trunk --no-default-features
cargo_tool wasm-bindgen-cli "$WASM_BINDGEN_PIN" wasm-bindgen
npm_tool binaryen "$BINARYEN_PIN"
npm_tool esbuild "$ESBUILD_PIN"
exec 9>&-
export PATH
