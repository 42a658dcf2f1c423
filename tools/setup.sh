#!/bin/sh
# Make the virtual environment from requirements.lock, and install this checkout into it.
set -eu

"$PYTHON" - <<'PY' || exit 1
import sys
if sys.version_info < (3, 11):
    sys.exit(f"Fillmark needs Python 3.11 or newer; {sys.executable} is {sys.version.split()[0]}. "
             "Name another one: make run PYTHON=python3.12")
PY

if ! "$PYTHON" -c "import ensurepip" 2>/dev/null; then
    . "$(dirname "$0")/debian.sh"
    need_packages "making a virtual environment" python3-venv
fi

[ -x "$VENV/bin/python" ] || "$PYTHON" -m venv "$VENV"
echo "Installing what requirements.lock names, once (a minute or two) …"
# uv is one of the locked packages: pip brings it by its hash, and it brings the rest far faster.
uv_lock=$(mktemp)
trap 'rm -f "$uv_lock"' EXIT
awk '/^[a-z0-9]/ { wanted = /^uv==/ } wanted' requirements.lock > "$uv_lock"
"$VENV/bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes -r "$uv_lock"
export VIRTUAL_ENV="$VENV"
# uv trusts its own certificates first and this machine's next; where neither will do, pip brings the same files.
"$VENV/bin/uv" pip sync --quiet --require-hashes requirements.lock 2>/dev/null ||
    "$VENV/bin/uv" pip sync --quiet --require-hashes --system-certs requirements.lock 2>/dev/null ||
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
"$VENV/bin/python" -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --no-index --editable .
"$VENV/bin/python" -m compileall -q -j 0 "$VENV/lib" src >/dev/null 2>&1 || true
