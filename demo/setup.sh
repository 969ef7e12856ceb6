# Shared by demo/run and tests/run: what must be installed, and the build.

# Installs the Debian packages the build needs, and those named, where one is missing;
# says which. Needs root or sudo only then.
setup_install() {
    local wanted=(build-essential cmake pkg-config libncurses-dev libyaml-dev libsqlite3-dev "$@")
    local missing=() package
    for package in "${wanted[@]}"; do
        dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
            missing+=("$package")
    done
    [ ${#missing[@]} -eq 0 ] && return
    echo "Installing with apt-get: ${missing[*]}" >&2
    local as=()
    [ "$(id -u)" -eq 0 ] || as=(sudo)
    "${as[@]}" apt-get update -qq >&2
    DEBIAN_FRONTEND=noninteractive "${as[@]}" apt-get install -y -qq --no-install-recommends \
        "${missing[@]}" >&2
}

# setup_build FOLDER [CMAKE OPTION]...: configures once, then builds what has changed.
setup_build() {
    local folder=$1
    shift
    [ -f "$folder/CMakeCache.txt" ] && [ $# -eq 0 ] || cmake -S . -B "$folder" "$@" >&2
    cmake --build "$folder" -j "$(nproc)" >&2
}
