#!/usr/bin/env bash
# Runs every check of the project but the long ones: bash tests/run.sh
#
# Format, lints (native and wasm32, warnings denied), unit, documentation, property and reference
# tests, the release build, and the app in a browser, or in three (see ENGINES). On a fresh Debian or Ubuntu with Rust from
# rustup, Node and git it first installs what is missing (see app/tools.sh), the browsers too.

cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
# shellcheck source=app/tools.sh
. app/tools.sh

DENY_PIN=0.18.5
GECKODRIVER_PIN=0.37.1
AXE_PIN=4.14.1

step() { say "$1"; shift; "$@" || fail "failed: $*"; }

for component in rustfmt clippy; do
    cargo "${component/rust/}" --version >/dev/null 2>&1 && continue
    say "adding the Rust component $component"
    quietly rustup component add "$component" || fail "rustup cannot fetch $component"
done
# The engines that the browser tests run in; `LANESIDE_ENGINES="chromium firefox webkit"` is all of them.
ENGINES=${LANESIDE_ENGINES:-chromium}
runs_in() { [[ " $ENGINES " == *" $1 "* ]]; }
have() { for one in "$@"; do command -v "$one" >/dev/null || return 1; done; }
has_webkit() { have WebKitWebDriver Xvfb && python3 -c 'import gi; gi.require_version("WebKit2", "4.1")' 2>/dev/null; }
exec 9>"$TOOLS/lock"
flock 9
have chromium chromedriver || apt_install chromium chromium-driver
if runs_in firefox; then
    have firefox-esr || apt_install firefox-esr
    cargo_tool geckodriver "$GECKODRIVER_PIN" geckodriver
fi
# Neither runs the clock of a page's sound where nothing can play it.
if runs_in firefox || runs_in webkit; then
    have pulseaudio || apt_install pulseaudio
fi
# WebKit in a window of our own (tests/src/browser/webkit_host.py), on a screen in memory.
if runs_in webkit; then
    has_webkit || apt_install webkit2gtk-driver gir1.2-webkit2-4.1 python3-gi xvfb
fi
npm_tool axe-core "$AXE_PIN"
cargo_tool cargo-deny "$DENY_PIN" cargo-deny
exec 9>&-
export PATH LANESIDE_AXE="$TOOLS/axe-core-$AXE_PIN/node_modules/axe-core/axe.min.js"
if [ -n "$WASM_RUST" ]; then
    [ -x /usr/bin/cargo-clippy ] || apt_install rust-web-clippy
    ln -sf /usr/bin/cargo-clippy /usr/bin/clippy-driver "$WASM_RUST"
fi

step "format" cargo fmt --all --check
step "lints, native" cargo clippy --locked --quiet --workspace --all-targets --all-features -- -D warnings
step "lints, wasm32" with_wasm cargo clippy --locked --quiet -p laneside-core -p laneside-app \
    --target wasm32-unknown-unknown -- -D warnings
# The same random cases every time, so that a change fails by its own fault only; without the seed they differ.
export PROPTEST_RNG_SEED=20261125
# What is linked in: licenses and sources from the lock file; advisories only where their database can be reached.
supply_chain() {
    local report
    cargo deny --locked check --config tests/deny.toml licenses bans sources || return 1
    report=$(mktemp)
    if cargo deny --locked check --config tests/deny.toml advisories >"$report" 2>&1; then
        say "no advisory against what is linked in"
    elif grep -q "failed to fetch advisory database" "$report"; then
        say "ADVISORIES WERE NOT CHECKED: their database cannot be reached from here"
    else
        cat "$report"
        return 1
    fi
}
step "supply chain" supply_chain
step "unit, property and reference tests" cargo test --locked --workspace --lib --bins --tests
step "documentation tests" cargo test --locked -p laneside-core --doc
step "documentation" env RUSTDOCFLAGS=-Dwarnings cargo doc --locked --quiet --no-deps -p laneside-core
step "release build" bash app/serve.sh --build-only
# All tests in one engine, and which of them it cannot run: those of the list and no others.
browser_tests() {
    local engine=$1 lacks start=$SECONDS
    lacks=$(mktemp)
    LANESIDE_ENGINE=$engine LANESIDE_LACKS=$lacks cargo test --locked -p laneside-tests \
        --features browser --test browser -- --test-threads=2 || return 1
    sort -u "$lacks" | sed 's/^/not run in /'
    diff <(grep "^$engine: " tests/browser/lacks.txt | sort) <(sort -u "$lacks") ||
        fail "tests/browser/lacks.txt is another list than that of what was not run in $engine"
    say "$engine: $((SECONDS - start)) s"
}
for engine in $ENGINES; do
    step "browser tests in $engine" browser_tests "$engine"
done

say "all checks passed in $((SECONDS / 60)) min $((SECONDS % 60)) s"
