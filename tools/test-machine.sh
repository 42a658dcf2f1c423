#!/bin/sh
# What the tests need beyond Python: a browser for the journeys, a PostgreSQL server to run the records on,
# OpenSSL to judge the certificates, and Node to try the scripts that decide something.
set -eu
. "$(dirname "$0")/debian.sh"
missing=""
command -v chromium >/dev/null || command -v chromium-browser >/dev/null || missing="$missing chromium"
command -v openssl >/dev/null || missing="$missing openssl"
ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$missing postgresql"
command -v node >/dev/null || missing="$missing nodejs"
# shellcheck disable=SC2086
[ -z "$missing" ] || need_packages "the tests" $missing
