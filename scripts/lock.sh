#!/bin/sh
# Write both lock files anew from pyproject.toml. Needs `uv` on PATH or in .venv, and the network.
set -eu
cd -- "$(dirname -- "$0")/.."
PATH=$PATH:.venv/bin

lock() { # OUTPUT [OPTION...]
    out=$1
    shift
    uv pip compile pyproject.toml --quiet --universal --python-version 3.11 --generate-hashes \
        --no-config --no-annotate --custom-compile-command scripts/lock.sh --group build \
        --extra workbook --extra documents --extra mechanics "$@" --output-file "$out"
}

lock requirements.lock "$@"
lock requirements-dev.lock --extra dev --constraints requirements.lock "$@"
