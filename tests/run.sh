#!/bin/sh
# Runs every test. The service and browser tests need Debian packages: installed here as root or
# with sudo; without either they are left out, and that is said. With CI=true nothing may be left out.
set -eu
packages="libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core postgresql redis-server chromium libical3"

missing() {
    for package in $packages; do
        dpkg-query -W -f '${db:Status-Abbrev}' "$package" 2>/dev/null | grep -q '^ii' || echo "$package"
    done
}

install() {
    # Servers that a package brings are not started: the tests start their own.
    export DEBIAN_FRONTEND=noninteractive
    as_root="$1"
    $as_root apt-get update -qq >/dev/null
    $as_root env DEBIAN_FRONTEND=noninteractive RUNLEVEL=1 \
        apt-get install -y -qq --no-install-recommends $wanted >/dev/null
}

wanted=$(missing | tr '\n' ' ')
if [ -n "$wanted" ] && command -v apt-get >/dev/null; then
    echo "Installing for the tests: $wanted"
    if [ "$(id -u)" = 0 ]; then
        install "" || true
    elif sudo -n true 2>/dev/null; then
        install "sudo -n" || true
    fi
    wanted=$(missing | tr '\n' ' ')
fi
if [ -n "$wanted" ]; then
    echo "Missing packages. Type: sudo apt-get install -y $wanted"
    if [ "${CI:-}" = true ]; then
        echo "CI leaves nothing out, so this run stops here."
        exit 1
    fi
    echo "Left out: the service and browser tests."
    exec .venv/bin/pytest -q -n 3 --no-loadscope-reorder --durations 25 -m "not service and not browser" "$@"
fi
exec .venv/bin/pytest -q -n 3 --no-loadscope-reorder --durations 25 "$@"
