from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from collector.attendance import Unattended
from collector.config import (
    ApiConfig,
    Config,
    Display,
    InstrumentConfig,
    OneWire,
    SerialScale,
    load_config,
)
from collector.errors import DocumentError
from collector.readings import Role

PIER = """\
[workshop]
name = "Pier Lane"
timezone = "Europe/Lisbon"
data = "./data"
display = { temperature = "degC", mass = "g" }

[[bench]]
name = "east"

[[instrument]]
name = "east-scale"
bench = "east"
role = "scale"                 # scale | pitcher | pot | room
kind = "serial-scale"
port = "/dev/serial/by-id/…"   # any tty, a pseudo-terminal included
baud = 9600
# format = "auto" | "sma" | a regular expression with groups value, unit, and optional stable

[[instrument]]
name = "east-pitcher"
bench = "east"
role = "pitcher"
kind = "one-wire"
device = "28-000005e2fdc3"
root = "/sys/bus/w1/devices"   # so that a test can lay its own
every = "1 s"

[api]
host = "127.0.0.1"             # another address needs tokens, or the program refuses to start
port = 8420
"""
"""The plan's own example of a workshop.toml."""

HEAD = """\
[workshop]
name = "Pier Lane"
timezone = "Europe/Lisbon"
[[bench]]
name = "east"
"""
"""The least that a workshop has; what a test adds begins on line 6."""

PROBE = """\
[[instrument]]
name = "a"
bench = "east"
role = "pot"
kind = "one-wire"
device = "28-000005e2fdc3"
root = "w1"
"""

TOKEN = "a-token-of-22-letters-"  # noqa: S105 # made up here; it opens nothing


def load(folder: Path, text: str) -> Config:
    file = folder / "workshop.toml"
    file.write_text(text, "utf-8")
    return load_config(file)


def complaint(folder: Path, text: str) -> str:
    """Return the complaint without the folder in front of it."""
    with pytest.raises(DocumentError) as refused:
        load(folder, text)
    return refused.value.message.replace(f"{folder}/", "")


def test_the_example_of_the_plan_is_understood(tmp_path: Path) -> None:
    scale = SerialScale("/dev/serial/by-id/…", 9600, "auto")
    probe = OneWire("28-000005e2fdc3", Path("/sys/bus/w1/devices"), 1_000_000)
    assert load(tmp_path, PIER) == Config(
        name="Pier Lane",
        timezone="Europe/Lisbon",
        data=tmp_path / "data",
        recipes=None,
        display=Display("degC", "g"),
        benches=("east",),
        instruments=(
            InstrumentConfig("east-scale", "east", Role.SCALE, scale, 10_000_000),
            InstrumentConfig("east-pitcher", "east", Role.PITCHER, probe, 5_000_000),
        ),
        api=ApiConfig("127.0.0.1", 8420, ()),
    )


def test_the_least_workshop_has_every_default(tmp_path: Path) -> None:
    config = load(tmp_path, HEAD)
    assert config == Config(
        name="Pier Lane",
        timezone="Europe/Lisbon",
        data=tmp_path / "data",
        benches=("east",),
    )
    assert (config.api.host, config.api.port) == ("127.0.0.1", 8420)


def test_paths_are_relative_to_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "home"
    (home / "cards").mkdir(parents=True)
    monkeypatch.chdir(tmp_path)
    (home / "keys").write_text(f"# for the tablet\n\n{TOKEN}\n")
    text = HEAD.replace("[[bench]]", 'data = "d"\nrecipes = "./cards"\n[[bench]]')
    text += PROBE + '[api]\ntokens_file = "keys"\n'
    (home / "workshop.toml").write_text(text)
    config = load_config(Path("home/workshop.toml"))
    assert config.data == home / "d"
    assert config.recipes == home / "cards"
    assert config.api.tokens == (TOKEN,)
    assert config.instruments[0].link == OneWire("28-000005e2fdc3", home / "w1", 1_000_000)


def test_an_absolute_data_folder_stays(tmp_path: Path) -> None:
    text = HEAD.replace("[[bench]]", 'data = "/srv/pours"\n[[bench]]')
    assert load(tmp_path, text).data == Path("/srv/pours")


def test_a_path_may_begin_at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", "/home/maker")
    text = HEAD.replace("[[bench]]", 'data = "~/pours"\n[[bench]]')
    assert load(tmp_path, text).data == Path("/home/maker/pours")


def test_the_time_zone_is_one_that_python_knows(tmp_path: Path) -> None:
    assert ZoneInfo(load(tmp_path, HEAD).timezone).key == "Europe/Lisbon"


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.5", "pier.example"])  # noqa: S104 # the case under test
def test_other_machines_may_come_in_with_a_token(tmp_path: Path, host: str) -> None:
    text = f'{HEAD}[api]\nhost = "{host}"\nport = 0\ntokens = ["{TOKEN}"]\n'
    assert load(tmp_path, text).api == ApiConfig(host, 0, (TOKEN,))


@pytest.mark.parametrize("host", ["127.0.0.1", "127.9.9.9", "::1", "localhost"])
def test_this_machine_needs_no_token(tmp_path: Path, host: str) -> None:
    assert load(tmp_path, f'{HEAD}[api]\nhost = "{host}"\n').api.host == host


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.5", "pier.example"])  # noqa: S104 # the case under test
def test_other_machines_are_refused_without_a_token(tmp_path: Path, host: str) -> None:
    assert complaint(tmp_path, f'{HEAD}[api]\n\nhost = "{host}"\n') == (
        f'workshop.toml:8: api.host: other machines can reach "{host}": set tokens or'
        ' tokens_file in [api], or host = "127.0.0.1"'
    )


REFUSED_WORKSHOPS = [
    (
        HEAD.replace("Lisbon", "Lisbone"),
        (
            '3: workshop.timezone: "Europe/Lisbone" is not an IANA time zone such as'
            ' "Europe/Lisbon"; did you mean "Europe/Lisbon"?'
        ),
    ),
    (HEAD.replace("Europe/Lisbon", "Europe"), '3: workshop.timezone: "Europe" is not an IANA'),
    (HEAD.replace("Europe/Lisbon", "../UTC"), '3: workshop.timezone: "../UTC" is not an IANA'),
    (HEAD.replace("timezone", "# "), '1: workshop.timezone: "timezone" is missing in [workshop]'),
    (
        HEAD.replace("[[bench]]", "dato = 1\n[[bench]]"),
        (
            "4: workshop.dato: unknown key; the keys allowed here are: name, timezone, data,"
            ' recipes, display, unattended; did you mean "data"?'
        ),
    ),
    (
        HEAD.replace("[[bench]]", 'display = { mass = "lb" }\n[[bench]]'),
        '4: workshop.display.mass: expected one of "g", "oz", not "lb"',
    ),
    (
        HEAD.replace("[[bench]]", 'recipes = "./none"\n[[bench]]'),
        "4: workshop.recipes: there is no folder none",
    ),
    (
        HEAD.replace("[[bench]]", 'data = "~nobody-here/d"\n[[bench]]'),
        '4: workshop.data: there is no such home: "~nobody-here/d"',
    ),
    (HEAD[: HEAD.index("[[bench]]")], "1: bench: a workshop needs at least one [[bench]]"),
    (
        HEAD + '[[bench]]\nname = "east"\n',
        '7: bench "east": name: the bench on line 5 is called "east" already',
    ),
    (HEAD.replace('"east"', '"e+w"'), '5: bench "e+w": name: "e+w" is not a usable name'),
    (HEAD + "[bunch]\n", "6: bunch: unknown key; the keys allowed here are: workshop, bench"),
    (HEAD + "[api]\nport = 65536\n", "7: api.port: expected a whole number from 0 to 65535"),
    (HEAD + "name = ", "6: not TOML: "),
    (
        HEAD + f'[api]\ntokens = [\n"{TOKEN}",\n"short",\n]\n',
        "9: api.tokens.1: token 2 is not usable: expected at least 16 ASCII characters without a",
    ),
    (HEAD + '[api]\ntokens = ["sixteen letters, with"]\n', "7: api.tokens.0: token 1 is not"),
    (
        HEAD + f'[api]\ntokens = ["{TOKEN}"]\ntokens_file = "keys"\n',
        "8: api.tokens_file: write either tokens or tokens_file, not both",
    ),
    (HEAD + '[api]\ntokens_file = "keys"\n', "7: api.tokens_file: keys cannot be read: "),
]


def test_a_hot_pot_is_watched_unless_the_workshop_says_otherwise(tmp_path: Path) -> None:
    file = tmp_path / "workshop.toml"
    found = []
    for said in ("", 'unattended = { after = "1 h" }\n', 'unattended = "off"\n'):
        file.write_text(HEAD.replace("[[bench]]", f"{said}[[bench]]"), "utf-8")
        found.append(load_config(file).unattended)
    assert found == [Unattended(2_400_000_000, 60_000), Unattended(3_600_000_000, 60_000), None]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ('"never"', '4: workshop.unattended: expected one of "off", not "never"'),
        ('{ after = "5 s" }', '4: workshop.unattended.after: expected at least "1 min"'),
        ('{ above = "60 min" }', '4: workshop.unattended.above: "min" measures a duration'),
    ],
)
def test_an_unattended_time_nobody_can_mean_is_refused(
    tmp_path: Path, said: str, sentence: str
) -> None:
    text = HEAD.replace("[[bench]]", f"unattended = {said}\n[[bench]]")
    assert complaint(tmp_path, text).startswith(f"workshop.toml:{sentence}")


@pytest.mark.parametrize(("text", "sentence"), REFUSED_WORKSHOPS)
def test_an_unusable_workshop_is_refused_with_its_line(
    tmp_path: Path, text: str, sentence: str
) -> None:
    assert complaint(tmp_path, text).startswith(f"workshop.toml:{sentence}")


def test_a_short_token_is_refused_without_repeating_it(tmp_path: Path) -> None:
    message = complaint(tmp_path, f'{HEAD}[api]\ntokens = ["hush-hush"]\n')
    assert "token 1 is not usable" in message
    assert "hush" not in message


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [
        (f"# mine\n{TOKEN}\nhush-hush\n", "line 3 of keys is not usable: expected at least 16"),
        ("# none yet\n\n", "keys holds no token"),
    ],
)
def test_a_file_of_unusable_tokens_is_refused(tmp_path: Path, keys: str, sentence: str) -> None:
    (tmp_path / "keys").write_text(keys)
    message = complaint(tmp_path, HEAD + '[api]\ntokens_file = "keys"\n')
    assert message.startswith(f"workshop.toml:7: api.tokens_file: {sentence}")
    assert "hush" not in message


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match=r"none\.toml: there is no such file"):
        load_config(tmp_path / "none.toml")
