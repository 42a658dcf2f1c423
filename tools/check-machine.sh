#!/bin/sh
# What the check needs beyond Python: the checker of the scripts' types. Nothing that runs the app needs it.
set -eu
. "$(dirname "$0")/debian.sh"
command -v tsc >/dev/null || need_packages "checking the scripts" node-typescript
