# Sees to the packages of system_packages.txt. Read by deploy/test after environment.sh.

# Prints the packages whose program is missing.
missing_packages() {
    local package program
    while read -r package program; do
        [[ -z $package || $package == '#'* ]] && continue
        command -v "$program" >/dev/null || printf '%s\n' "$package"
    done <"$root/deploy/system_packages.txt"
}

# Prints the words that give apt-get the right to install, one a line; fails without a way.
as_root() {
    if [[ $(id -u) == 0 ]]; then
        printf 'env\n'
    else
        sudo -n true 2>/dev/null && printf '%s\n' sudo -n env
    fi
}

ensure_system_packages() {
    local missing rights apt_log=$venv/pourkeep-apt.log
    mapfile -t missing < <(missing_packages)
    ((${#missing[@]})) || return 0
    command -v apt-get >/dev/null && rights=$(as_root) ||
        fail "the tests need these system packages: ${missing[*]}. Install them and start again" \
            "(this needs apt-get, and root or sudo without a password)."
    mapfile -t rights <<<"$rights"
    say "installing system packages: ${missing[*]} ..."
    {
        "${rights[@]}" apt-get update &&
            "${rights[@]}" DEBIAN_FRONTEND=noninteractive \
                apt-get install -y --no-install-recommends "${missing[@]}"
    } >"$apt_log" 2>&1 </dev/null || {
        tail -n 20 "$apt_log" >&2
        fail "apt-get could not install: ${missing[*]}. Install them by hand and start again."
    }
    mapfile -t missing < <(missing_packages)
    ((${#missing[@]} == 0)) || fail "installed, but without the program expected: ${missing[*]}."
}
