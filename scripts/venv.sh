# Sourced by ./abreast and ./run_tests, from the folder of the clone: keeps .venv in step with a
# lock file. Everything it says goes to standard error, since standard output is for results.

say() { printf 'abreast: %s\n' "$1" >&2; }
die() { say "$1"; exit 2; }

# What .venv was built from: a changed lock, a moved folder or another Python makes it stale.
fingerprint() { # LOCK
    printf '%s\n' "$(cksum "$1" pyproject.toml)" "$(pwd -P)" "$(readlink -f .venv/bin/python)"
}

is_current() { # LOCK STAMP
    [ -f ".venv/$2" ] && [ -x .venv/bin/python ] && [ "$(fingerprint "$1")" = "$(cat ".venv/$2")" ]
}

find_python() {
    for base in "${ABREAST_PYTHON:-python3}" python3.13 python3.12 python3.11; do
        "$base" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && return
    done
    die "needs Python 3.11 or later and finds none; on Debian: apt install python3 python3-venv"
}

# ABREAST_WHEELS names a folder of wheels to install from, in place of the network.
find_wheels() {
    wheels=
    [ -z "${ABREAST_WHEELS:-}" ] ||
        wheels=$(cd -- "${OLDPWD:-.}" && cd -- "$ABREAST_WHEELS" && pwd -P) ||
        die "ABREAST_WHEELS: there is no folder $ABREAST_WHEELS"
}

install_with_uv() { # LOCK
    uv venv --quiet --allow-existing --no-python-downloads --python "$base" .venv &&
        uv pip install --quiet --python .venv/bin/python --require-hashes -r "$1" \
            ${wheels:+--no-index --find-links "$wheels"} &&
        uv pip install --quiet --python .venv/bin/python --no-deps --no-build-isolation -e .
}

install_with_pip() { # LOCK
    "$base" -c 'import ensurepip, venv' 2>/dev/null ||
        die "Python's venv module is missing; on Debian: apt install python3-venv"
    .venv/bin/python -m pip --version >/dev/null 2>&1 || "$base" -m venv .venv ||
        die "could not make .venv in $(pwd) (see above)"
    export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_ROOT_USER_ACTION=ignore
    .venv/bin/python -m pip install -qq --require-hashes -r "$1" \
        ${wheels:+--no-index --find-links "$wheels"} &&
        .venv/bin/python -m pip install -qq --no-deps --no-build-isolation -e .
}

set_up() { # LOCK STAMP
    [ -w . ] || die "cannot write to $(pwd); copy the folder to a place of your own and start there"
    find_python
    find_wheels
    if command -v flock >/dev/null; then exec 9>.venv.lock && flock 9; fi # one set-up at a time
    is_current "$1" "$2" && return
    say "setting up .venv from $1 (first start, or something changed); takes about a minute"
    .venv/bin/python -c '' 2>/dev/null || rm -rf .venv
    { command -v uv >/dev/null && install_with_uv "$1"; } || install_with_pip "$1" ||
        die "could not install the packages of $1 (see above). Set-up needs the network or a folder \
of wheels (README.md, 'Without a network'). Run the command again to retry"
    fingerprint "$1" >".venv/$2"
    say "set-up done"
}

use_venv() { # LOCK STAMP
    is_current "$1" "$2" || (set_up "$1" "$2") >&2
}
