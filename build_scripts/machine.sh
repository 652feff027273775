# What the machine itself must bring: a Python from 3.11 on that can make a venv and, for the checks, Chromium.
# Sourced by serve, publish and check. Sets $python and, for the checks, exports $CHROMIUM. Uses the shell's own words only,
# because a bare machine has little else.

say() { printf '%s\n' "$*" >&2; }

# Prints "VERSION STATE": ok, bare (it cannot make a venv) or old. Prints nothing if $1 does not run.
probe_python() {
    "$1" -c '
import sys
state = "ok"
try:
    import ensurepip, venv
except ImportError:
    state = "bare"
if sys.version_info < (3, 11):
    state = "old"
print("%d.%d.%d %s" % (sys.version_info[0], sys.version_info[1], sys.version_info[2], state))
' 2>/dev/null
}

# Sets $python to the first Python that will do; else $python is empty and $found tells the nearest miss.
# The system's own comes first: Linux distributions build it with a profile, and the tests take a fifth less time than
# with one that was built without.
find_python() {
    python='' found='' own=''
    [ -r /etc/os-release ] && own="${SYSTEM_PROGRAMS:-/usr/bin}/python3"
    for name in $own python3 python3.14 python3.13 python3.12 python3.11; do
        command -v "$name" >/dev/null 2>&1 || continue
        probe=$(probe_python "$name") || continue
        case $probe in
            *' ok') python=$name; return ;;
            *' bare') found="bare $name ${probe% *}" ;;
            *' old') found=${found:-"old $name ${probe% *}"} ;;
        esac
    done
}

# Sets $CHROMIUM to the browser for the checks, or to nothing.
find_chromium() {
    if [ -n "${CHROMIUM:-}" ] && [ -x "$CHROMIUM" ]; then
        return
    fi
    CHROMIUM=''
    for name in chromium chromium-browser google-chrome google-chrome-stable; do
        if command -v "$name" >/dev/null 2>&1; then
            CHROMIUM=$(command -v "$name")
            return
        fi
    done
    for file in "${PLAYWRIGHT_BROWSERS_PATH:-${HOME:-}/.cache/ms-playwright}"/chromium-*/chrome-linux*/chrome; do
        if [ -x "$file" ]; then
            CHROMIUM=$file
            return
        fi
    done
}

on_debian() {
    command -v apt-get >/dev/null 2>&1 && [ -r /etc/os-release ] && (. /etc/os-release && [ "${ID:-}" = debian ])
}

# Tells whether the library is there that Playwright's own Node wants and does not bring. (Debian 13's Chromium
# brings it, Debian 12's does not; other systems have it with their C++ library.)
has_libatomic() {
    for file in "${LIBRARIES:-/usr/lib}"/*/libatomic.so.1 "${LIBRARIES:-/usr/lib}"/libatomic.so.1; do
        [ -e "$file" ] && return
    done
    return 1
}

# Sets $missing to Debian's names of what is not there yet.
look() {
    missing=''
    find_python
    [ -n "$python" ] || missing='python3 python3-venv'
    if [ "$1" = check ]; then
        find_chromium
        [ -n "$CHROMIUM" ] || missing="${missing:+$missing }chromium"
        ! on_debian || has_libatomic || missing="${missing:+$missing }libatomic1"
    fi
}

# Says what to type where this script may not install by itself.
tell() {
    say "Missing on this machine: $missing. Type this, then run the command again:"
    if command -v apt-get >/dev/null 2>&1; then
        say "  sudo sh -c 'apt-get update && apt-get install -y --no-install-recommends $missing'"
    elif command -v dnf >/dev/null 2>&1; then
        say "  sudo dnf install $(printf '%s' "$missing" | sed 's/ python3-venv//')"
    elif command -v pacman >/dev/null 2>&1; then
        say "  sudo pacman -S $(printf '%s' "$missing" | sed 's/python3 python3-venv/python/')"
    else
        say "  (your system's own command to install: $missing)"
    fi
}

# Debian has the browser without its windows too, which is quicker; where it has not, all is done with chromium.
add_shell() {
    case $missing in
        *chromium*)
            if apt-cache show chromium-headless-shell >/dev/null 2>&1; then
                missing="$missing chromium-headless-shell"
            fi ;;
    esac
}

# The same where chromium was there before. The checks do without it, so nothing that fails here stops them.
quicken() {
    if [ "$(id -u)" = 0 ] && on_debian && ! command -v chromium-headless-shell >/dev/null 2>&1 &&
        apt-cache show chromium-headless-shell >/dev/null 2>&1; then
        say "Installing with apt-get, for quicker checks: chromium-headless-shell"
        DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends chromium-headless-shell >&2 ||
            say "It could not be installed; the checks take longer without it."
    fi
}

# need serve|publish|check: returns when the machine has what the command needs, or ends the script.
need() {
    look "$1"
    case $found in
        old*)
            if [ -z "$python" ]; then
                say "Quarter Turn needs Python 3.11 or newer; ${found#old } is too old." \
                    "Install a newer Python with its venv module, then run the command again."
                exit 1
            fi ;;
    esac
    if [ -n "$missing" ]; then
        if [ "$(id -u)" != 0 ] || ! on_debian; then
            tell
            exit 1
        fi
        say "Installing with apt-get: $missing"
        # The names are split on purpose.
        if ! apt-get update >&2 || ! add_shell ||
            ! DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends $missing >&2; then
            say "apt-get could not install: $missing. What it says above tells why."
            exit 1
        fi
        hash -r
        look "$1"
        if [ -n "$missing" ]; then
            say "Still missing after apt-get: $missing. ${found:+Found: $found.}"
            exit 1
        fi
    fi
    if [ "$1" = check ]; then
        quicken
        export CHROMIUM
    fi
}
