"""`pourkeep check` says who would be told, sends nothing, and shows no address."""

from argparse import Namespace
from pathlib import Path

import pytest
from notice_targets import free_port, hook_url, web_hook

from api.command_line import check

HEAD = """\
[workshop]
name = "Pier Lane"
timezone = "Europe/Lisbon"
[[bench]]
name = "east"
[notices]
to_file = "addresses"
"""


@pytest.mark.parametrize(("mode", "is_open"), [(0o600, False), (0o644, True)])
def test_targets_are_named_and_an_open_file_of_addresses_is_noted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], mode: int, is_open: bool
) -> None:
    config, addresses = tmp_path / "workshop.toml", tmp_path / "addresses"
    config.write_text(HEAD, "utf-8")
    port = free_port()
    addresses.write_text(hook_url(port, "an-invention"), "utf-8")
    addresses.chmod(mode)
    with web_hook(port) as hook:
        assert check.run(Namespace(config=config)) == 0
    assert hook.got == []
    said = capsys.readouterr().out
    assert "ok   notices: json 127.0.0.1 is understood; send a test from /notices" in said
    assert ("chmod 600" in said) is is_open
    assert "an-invention" not in said
