#!/usr/bin/env bash
# Measures everything in one run and prints one table: bash tests/bench.sh [FOLDER]
#
# Takes most of an hour on two cores; nothing else ought to run meanwhile. What each bench prints is kept in FOLDER
# (target/bench where none is named), the table too. Figures in ms differ from machine to machine, ratios differ less.

cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
# shellcheck source=app/tools.sh
. app/tools.sh

FOLDER=${1:-target/bench}
mkdir -p "$FOLDER"
TARGET=${CARGO_TARGET_DIR:-target}

run() {
    local name=$1
    shift
    say "$name"
    "$@" >"$FOLDER/$name.txt" 2>"$FOLDER/$name.err" || fail "$name failed: $(tail -n 5 "$FOLDER/$name.err")"
}

run bytes bash tests/bytes.sh
say "building the benches"
quietly cargo build --locked --release -p laneside-tests --features browser --bins || fail "the benches did not build"
for bench in starts keystroke day-entry long-tasks long-use; do
    run "$bench" "$TARGET/release/$bench"
done
run day cargo bench --locked --quiet -p laneside-tests --bench day
PYTHON=$(mktemp -d)
trap 'rm -rf "$PYTHON"' EXIT
quietly python3 -m venv "$PYTHON" || fail "python3 has no venv"
quietly "$PYTHON/bin/pip" install numpy==2.2.6 scipy==1.15.3 || fail "SciPy could not be installed"
run scipy "$PYTHON/bin/python" tests/fixtures/make_day.py --time
run log-read bash tests/bench/log_read.sh
python3 tests/bench/table.py "$FOLDER" | tee "$FOLDER/table.md"
