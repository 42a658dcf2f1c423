#!/bin/sh
# What the tests need beyond Python: a browser for the journeys, a PostgreSQL server to run the records on, and
# OpenSSL to judge the certificates.
set -eu
. "$(dirname "$0")/debian.sh"
missing=""
command -v chromium >/dev/null || command -v chromium-browser >/dev/null || missing="$missing chromium"
command -v openssl >/dev/null || missing="$missing openssl"
ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$missing postgresql"
# shellcheck disable=SC2086
[ -z "$missing" ] || need_packages "the tests" $missing
