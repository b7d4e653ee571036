"""The import contracts of pyproject.toml hold, and each of them can be broken."""

import ast
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = ("collector", "api", "dashboards", "simulators")
IMPURE_FUNCTIONS = frozenset({"open", "print", "input"})
IMPURE_METHODS = frozenset({"now", "utcnow", "today", "import_module"})


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph(*PACKAGES, include_external_packages=True, cache_dir=None)


def check_contracts(root: Path) -> subprocess.CompletedProcess[str]:
    program = Path(sys.executable).with_name("lint-imports")
    return subprocess.run(
        [program, "--no-cache", "--no-logo"],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def edges() -> list[str]:
    """Return the modules and packages that the contract about edges lets off."""
    options = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
    contract = next(c for c in options["contracts"] if c["name"].startswith("Only the edges"))
    return [line.partition(" ")[0].removesuffix(".**") for line in contract["ignore_imports"]]


def pure_files() -> list[Path]:
    let_off = edges()
    modules = {
        ".".join(file.relative_to(ROOT).with_suffix("").parts): file
        for file in (ROOT / "collector").rglob("*.py")
    }
    return [
        file
        for name, file in modules.items()
        if not any(f"{name}.".startswith(f"{edge}.") for edge in let_off)
    ]


def impure_calls(source: str) -> list[str]:
    calls = [node.func for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    functions = {call.id for call in calls if isinstance(call, ast.Name)}
    methods = {call.attr for call in calls if isinstance(call, ast.Attribute)}
    return sorted((functions & IMPURE_FUNCTIONS) | (methods & IMPURE_METHODS))


def test_every_import_contract_holds() -> None:
    done = check_contracts(ROOT)
    assert done.returncode == 0, done.stdout


@pytest.fixture(scope="module")
def copied_tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    copy = tmp_path_factory.mktemp("tree")
    shutil.copy(ROOT / "pyproject.toml", copy)
    for package in PACKAGES:
        only_python = shutil.ignore_patterns("node_modules", "dist", "src", "__pycache__")
        shutil.copytree(ROOT / package, copy / package, ignore=only_python)
    return copy


@pytest.mark.parametrize(
    ("file", "line", "broken"),
    [
        ("collector/recipes.py", "import collector.clock", "Imports flow down"),
        ("collector/a_new_noun.py", "", "Imports flow down"),
        ("collector/readings.py", "import time", "Only the edges"),
        ("collector/a_new_noun.py", "from pathlib import Path", "Only the edges"),
        ("collector/config.py", "import socket", "Only the edges"),
        ("collector/instruments/__init__.py", "import threading", "Only the edges"),
        ("collector/clock.py", "import api", "The collector knows nothing"),
        ("dashboards/__init__.py", "import collector.clock", "The screens' package"),
        ("simulators/__init__.py", "import collector.readings", "The simulators know nothing"),
        ("api/__init__.py", "import simulators", "The service knows nothing"),
        ("collector/store/__init__.py", "import serial", "Each outside part"),
        ("api/__init__.py", "import sqlite3", "Each outside part"),
        ("collector/store/store.py", "import influxdb_client", "Each outside part"),
        ("collector/store/store.py", "import urllib3", "Each outside part"),
        ("collector/workshop.py", "import aiomqtt", "Each outside part"),
        ("collector/notices/post.py", "import apprise", "Each outside part"),
        ("collector/workshop.py", "import pyarrow", "Each outside part"),
    ],
)
def test_a_forbidden_import_breaks_its_contract(
    copied_tree: Path, file: str, line: str, broken: str
) -> None:
    path = copied_tree / file
    before = path.read_text("utf-8") if path.exists() else None
    path.write_text(f"{before or ''}\n{line}\n", "utf-8")
    done = check_contracts(copied_tree)
    path.write_text(before, "utf-8") if before is not None else path.unlink()
    verdicts = [row for row in done.stdout.splitlines() if row.startswith(broken)]
    assert done.returncode == 1
    assert any(" BROKEN" in row for row in verdicts), done.stdout


@pytest.mark.parametrize(
    "part",
    [
        *("serial", "hidraw", "pint", "uvicorn", "influxdb_client", "urllib3"),
        *("prometheus_client", "aiomqtt", "paho", "apprise", "pyarrow"),
    ],
)
def test_at_most_one_module_imports_the_part(graph: grimp.ImportGraph, part: str) -> None:
    importers = graph.find_modules_that_directly_import(part) if part in graph.modules else set()
    assert len(importers) <= 1


def test_the_simulators_need_only_the_standard_library_and_numpy(graph: grimp.ImportGraph) -> None:
    used = {
        imported.partition(".")[0]
        for module in graph.find_descendants("simulators") | {"simulators"}
        for imported in graph.find_modules_directly_imported_by(module)
    }
    assert used - sys.stdlib_module_names - {"simulators", "numpy"} == set()


@pytest.mark.parametrize("file", pure_files(), ids=lambda file: file.stem)
def test_a_pure_module_opens_prints_and_tells_no_time(file: Path) -> None:
    assert impure_calls(file.read_text("utf-8")) == []


@pytest.mark.parametrize("line", ["open('a')", "datetime.now(tz=UTC)", "print(1)"])
def test_an_impure_call_is_seen(line: str) -> None:
    assert len(impure_calls(f"def f():\n    return {line}\n")) == 1
