#!/usr/bin/env bash
# Makes the pictures of the README from the invented coupe: bash tests/pictures.sh
#
# Installs what is missing first (see app/tools.sh), the browser and pngquant too.

cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
# shellcheck source=app/tools.sh
. app/tools.sh

for program in chromium chromedriver; do
    command -v "$program" >/dev/null || apt_install chromium chromium-driver
done
command -v pngquant >/dev/null || apt_install pngquant

[ -n "${LANESIDE_DIST:-}" ] || bash app/serve.sh --build-only
cargo run --locked --quiet -p laneside-tests --features browser --bin pictures ||
    fail "the pictures were not taken"
for picture in tests/pictures/*.png; do
    pngquant --force --skip-if-larger --speed 1 --strip 32 --output "$picture" -- "$picture" ||
        [ $? -eq 98 ] || fail "pngquant failed on $picture"
    say "$picture, $(stat -c %s "$picture") bytes"
done
