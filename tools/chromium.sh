#!/bin/sh
# Print the path of a Chromium for the tests that draw a page; nothing where none can be had.
# As root on a Debian it is installed with apt. Everywhere else those tests skip and say so.
if [ -n "${CHROMIUM:-}" ]; then
    printf '%s\n' "$CHROMIUM"
    exit 0
fi
found() { command -v chromium || command -v chromium-browser; }
if ! found >/dev/null && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    echo "No Chromium here: installing Debian's, for the tests that draw a page." >&2
    { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium; } \
        >/dev/null 2>&1 || echo "It could not be installed; those tests will be skipped." >&2
fi
found || true
