# Sourced: need_packages WHY NAME... installs Debian packages where that may be done, else says in one line what is missing.
need_packages() {
    why=$1
    shift
    as_root=""
    if [ "$(id -u)" != 0 ]; then
        if command -v sudo >/dev/null && sudo -n true 2>/dev/null; then as_root="sudo -n"; else as_root="no"; fi
    fi
    if [ "$as_root" != no ] && command -v apt-get >/dev/null; then
        echo "Installing for $why: $*"
        log=$(mktemp)
        if { $as_root apt-get update -qq && DEBIAN_FRONTEND=noninteractive $as_root apt-get install -y -qq --no-install-recommends "$@"; } \
            >"$log" 2>&1; then
            rm -f "$log"
            return 0
        fi
        tail -n 5 "$log" >&2
    fi
    echo "Missing for $why; please run: apt-get install $*" >&2
    exit 1
}
