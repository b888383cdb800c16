# Prepares a checkout: Python, its packages and the system libraries. Read by app/start and
# tests/run with `.`; both set root to the top of the checkout first. POSIX sh.

venv=$root/.venv
python=$venv/bin/python
stamp=$venv/prepared

say() { printf '%s\n' "counterpoise: $*" >&2; }
stop() { say "$@"; exit 1; }

# How this user may install Debian packages: prints the command's prefix, or fails.
installer() {
    command -v apt-get >/dev/null 2>&1 || return 1
    if [ "$(id -u)" = 0 ]; then
        echo env
    elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
        echo "sudo -n env"
    else
        return 1
    fi
}

# Installs the named Debian packages, or says which are missing and how to get them.
need_packages() {
    if prefix=$(installer); then
        say "installing system packages: $*"
        # shellcheck disable=SC2086 # the prefix is a command and its arguments
        if { $prefix apt-get update -qq &&
            $prefix DEBIAN_FRONTEND=noninteractive apt-get install -y -qq \
                --no-install-recommends "$@"; } >/dev/null; then
            return 0
        fi
    fi
    say "missing system packages: $*"
    if command -v apt-get >/dev/null 2>&1; then
        say "install them with: sudo apt-get update && sudo apt-get install $*"
    else
        say "these are Debian's names: install their like with this system's package manager"
    fi
    return 1
}

is_recent() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; }

# Prints the newest Python there is from 3.11 on, the plain name first.
find_python() {
    for candidate in python3 python python3.14 python3.13 python3.12 python3.11; do
        if command -v "$candidate" >/dev/null 2>&1 && is_recent "$candidate"; then
            command -v "$candidate"
            return 0
        fi
    done
    return 1
}

has_pip() { [ -x "$python" ] && is_recent "$python" && "$python" -m pip --version >/dev/null 2>&1; }

make_venv() {
    has_pip && return 0
    if ! base=$(find_python); then
        need_packages python3 python3-venv || stop "Python 3.11 or newer is needed"
        base=$(find_python) || stop "Python 3.11 or newer is needed; this system offers an older one"
    fi
    if ! "$base" -c 'import ensurepip, venv' 2>/dev/null; then
        version=$("$base" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
        need_packages "python$version-venv" || exit 1
    fi
    say "making $venv with $base"
    "$base" -m venv --clear "$venv" || stop "no virtual environment could be made in $venv"
}

# Installs the dependencies that pyproject.toml declares, once for each state of that file.
# $1 is the wanted set: "run", or "test" which holds "run".
install_dependencies() {
    state=$(cksum <"$root/pyproject.toml")
    if has_pip && [ -f "$stamp" ]; then
        case $(cat "$stamp") in "$state $1" | "$state test") return 0 ;; esac
    fi
    make_venv
    case $1 in test) target="$root[test]" ;; *) target=$root ;; esac
    say "installing Python packages (the first time takes some minutes)"
    "$python" -m pip install --quiet --disable-pip-version-check --editable "$target" >&2 ||
        stop "the Python packages could not be installed: see above (this needs a network, once)"
    echo "$state $1" >"$stamp"
}

# The Debian package that holds a shared library; fails on one that is not known here.
package_of() {
    case $1 in
        libEGL.so.1) echo libegl1 ;;
        libGL.so.1) echo libgl1 ;;
        libGLX.so.0) echo libglx0 ;;
        libOpenGL.so.0) echo libopengl0 ;;
        libX11.so.6) echo libx11-6 ;;
        libX11-xcb.so.1) echo libx11-xcb1 ;;
        libdbus-1.so.3) echo libdbus-1-3 ;;
        libfontconfig.so.1) echo libfontconfig1 ;;
        libfreetype.so.6) echo libfreetype6 ;;
        libglib-2.0.so.0 | libgthread-2.0.so.0) echo libglib2.0-0 ;;
        libstdc++.so.6) echo libstdc++6 ;;
        libz.so.1) echo zlib1g ;;
        libzstd.so.1) echo libzstd1 ;;
        libxkbcommon.so.0) echo libxkbcommon0 ;;
        libxkbcommon-x11.so.0) echo libxkbcommon-x11-0 ;;
        libxcb-icccm.so.4) echo libxcb-icccm4 ;;
        libxcb-keysyms.so.1 | libxcb-sync.so.1 | libxcb-util.so.1 | libxcb-xkb.so.1)
            echo "${1%.so.1}1" ;;
        libxcb.so.1) echo libxcb1 ;;
        libxcb-*.so.0) echo "${1%.so.0}0" ;;
        libwayland-*.so.0) echo "${1%.so.0}0" ;;
        libwayland-*.so.1) echo "${1%.so.1}1" ;;
        *) return 1 ;;
    esac
}

# Prints the shared libraries that the Qt files named do not find.
missing_libraries() {
    for file in "$@"; do
        ldd "$file" 2>/dev/null || :
    done | sed -n 's/^[[:space:]]*\([^ ]*\) => not found.*/\1/p' | sort -u
}

has_font() {
    for folder in /usr/share/fonts /usr/local/share/fonts "${HOME:-/}/.fonts" \
        "${HOME:-/}/.local/share/fonts"; do
        if [ -d "$folder" ] && find -L "$folder" -name "$1" 2>/dev/null | grep -q .; then
            return 0
        fi
    done
    return 1
}

# Sees to the libraries Qt links to: $1 is "page" (offscreen) or "window" (a display too), $2 a
# pattern of font files one of which must be there. Other systems' Qt brings its own.
install_libraries() {
    [ "$(uname -s)" = Linux ] && command -v ldd >/dev/null 2>&1 || return 0
    qt=$("$python" -c 'import importlib.util as u, os
print(os.path.dirname(u.find_spec("PySide6").origin))') || stop "PySide6 is not installed"
    set -- "$1" "$2" "$qt/QtWidgets.abi3.so" "$qt/QtSvg.abi3.so" "$qt/QtPrintSupport.abi3.so" \
        "$qt/Qt/plugins/platforms/libqoffscreen.so"
    if [ "$1" = window ]; then
        set -- "$@" "$qt/Qt/plugins/platforms/libqxcb.so"
        [ -z "${WAYLAND_DISPLAY:-}" ] || set -- "$@" "$qt/Qt/plugins/platforms/libqwayland.so"
    fi
    font=$2
    shift 2
    packages=
    for library in $(missing_libraries "$@"); do
        package=$(package_of "$library") ||
            stop "the system library $library is missing: install the package that holds it"
        case " $packages " in *" $package "*) ;; *) packages="$packages $package" ;; esac
    done
    has_font "$font" || packages="$packages fonts-dejavu-core"
    [ -n "$packages" ] || return 0
    # shellcheck disable=SC2086 # a list of names
    need_packages $packages || exit 1
    still=$(missing_libraries "$@" | tr '\n' ' ')
    [ -z "$still" ] || stop "system libraries still missing: $still"
}
