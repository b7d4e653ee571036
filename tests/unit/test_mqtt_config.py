from pathlib import Path

import pytest

from collector.config import Config, InstrumentConfig, Mqtt, load_config
from collector.errors import DocumentError
from collector.link.assembly import targets_of
from collector.mqtt_config import MqttConfig, Tls
from collector.readings import Role

HEAD = """\
[workshop]
name = "Pier Lane"
timezone = "Europe/Lisbon"
[[bench]]
name = "east"
"""
"""The least that a workshop has; what a test adds begins on line 6."""

BROKER = """\
[mqtt]
host = "broker.lan"
"""
REMOTE = """\
[[instrument]]
name = "east-scale"
bench = "east"
role = "scale"
kind = "mqtt"
"""
LOCAL = """\
[[instrument]]
name = "east-pot"
bench = "east"
role = "pot"
kind = "one-wire"
device = "28-000005e2fdc3"
"""
TYPED = """\
[[instrument]]
name = "east-jug"
bench = "east"
role = "pitcher"
kind = "manual"
"""
UNTOLD = "whelk and winkle"
EXAMPLES = Path(__file__).parents[2] / "deploy" / "mqtt"


def load(folder: Path, text: str, *, collects: bool = False) -> Config:
    file = folder / "workshop.toml"
    file.write_text(text, "utf-8")
    return load_config(file, collects=collects)


def complaint(folder: Path, text: str, *, collects: bool = False) -> str:
    with pytest.raises(DocumentError) as refused:
        load(folder, text, collects=collects)
    return refused.value.message.replace(f"{folder}/", "")


def test_without_the_section_there_is_no_broker(tmp_path: Path) -> None:
    assert load(tmp_path, HEAD + LOCAL).mqtt is None


def test_the_ports_are_the_registered_ones(tmp_path: Path) -> None:
    """IANA's service names: mqtt 1883, secure-mqtt 8883."""
    assert load(tmp_path, HEAD + BROKER).mqtt == MqttConfig("broker.lan", 1883)
    secured = load(tmp_path, HEAD + BROKER + "tls = true\n").mqtt
    assert secured == MqttConfig("broker.lan", 8883, tls=Tls())


def test_files_are_found_beside_the_config(tmp_path: Path) -> None:
    for name in ("ca.crt", "east.crt", "east.key"):
        (tmp_path / name).touch()
    (tmp_path / "password").write_text(f"{UNTOLD}\n")
    keys = """\
port = 8884
user = "east"
password_file = "password"
tls = true
ca = "ca.crt"
certificate = "east.crt"
key = "east.key"
forward = true
"""
    assert load(tmp_path, HEAD + BROKER + keys).mqtt == MqttConfig(
        "broker.lan",
        8884,
        "east",
        UNTOLD,
        Tls(tmp_path / "ca.crt", tmp_path / "east.crt", tmp_path / "east.key"),
        forward=True,
    )


def test_the_password_is_never_shown(tmp_path: Path) -> None:
    mqtt = load(tmp_path, HEAD + BROKER + f'user = "east"\npassword = "{UNTOLD}"\n').mqtt
    assert mqtt is not None
    assert mqtt.password == UNTOLD
    assert UNTOLD not in repr(mqtt)


def test_an_instrument_of_kind_mqtt_fills_any_role_under_a_name_of_its_own(tmp_path: Path) -> None:
    text = HEAD + REMOTE + 'device = "urn:dev:ow:10e2073a01080063"\nsilent_after = "30 s"\n'
    (scale,) = load(tmp_path, text + BROKER).instruments
    link = Mqtt("urn:dev:ow:10e2073a01080063")
    assert scale == InstrumentConfig("east-scale", "east", Role.SCALE, link, 30_000_000)
    for role in Role:
        (one,) = load(tmp_path, HEAD + REMOTE.replace("scale", role.value) + BROKER).instruments
        assert (one.role, one.link, one.silent_after_us) == (
            role,
            Mqtt(f"east-{role}"),
            10_000_000,
        )


def test_a_program_that_only_collects_forwards_without_being_told(tmp_path: Path) -> None:
    mqtt = load(tmp_path, HEAD + LOCAL + BROKER, collects=True).mqtt
    assert mqtt is not None
    assert mqtt.forward


def test_each_bench_has_an_outbox_for_its_own_channels(tmp_path: Path) -> None:
    second = LOCAL.replace("east", "west").replace("05e2fdc3", "05e2fdc4")
    text = HEAD + '[[bench]]\nname = "west"\n' + LOCAL + second + BROKER
    assert targets_of(load(tmp_path, text, collects=True)) == {
        "mqtt:east": {"east-pot"},
        "mqtt:west": {"west-pot"},
    }


REFUSED = [
    ("[mqtt]\n", '6: mqtt.host: "host" is missing in [mqtt]'),
    (BROKER + "port = 0\n", "8: mqtt.port: expected a whole number from 1 to 65535"),
    (BROKER + 'prefix = "x"\n', "8: mqtt.prefix: unknown key; the keys allowed here are: host"),
    (BROKER + 'ca = "workshop.toml"\n', "8: mqtt.ca: this is used with tls = true only"),
    (BROKER + 'tls = true\nca = "no.crt"\n', "9: mqtt.ca: there is no file no.crt"),
    (
        BROKER + 'tls = true\nkey = "workshop.toml"\n',
        "9: mqtt.key: key needs certificate beside it",
    ),
    (
        BROKER + f'password = "{UNTOLD}"\n',
        "6: mqtt.user: a password needs a user beside it",
    ),
    (BROKER + 'user = "a"\npassword = 271828\n', "9: mqtt.password: expected text in quotes"),
    (
        BROKER + f'user = "a"\npassword = "{UNTOLD}"\npassword_file = "b"\n',
        "10: mqtt.password_file: write either password or password_file, not both",
    ),
    (
        BROKER + 'user = "a"\npassword_file = "no"\n',
        "9: mqtt.password_file: no cannot be read",
    ),
    (
        BROKER + 'user = "a"\npassword_file = "workshop.toml"\n',
        "9: mqtt.password_file: workshop.toml: expected the password on one line and nothing else",
    ),
    (
        BROKER + '[[bench]]\nname = "hub"\n',
        '9: bench "hub": name: with [mqtt] no bench can be called hub or alarms',
    ),
    (
        REMOTE
        + REMOTE.replace("scale", "jug").replace("jug", "pot")
        + 'device = "east-scale"\n'
        + BROKER,
        '16: instrument "east-pot": device: "east-scale" is this bench\'s device of that name',
    ),
    (
        REMOTE + LOCAL + BROKER,
        '15: instrument "east-pot": kind: bench "east" has instruments over MQTT',
    ),
    (
        REMOTE + BROKER + "forward = true\n",
        '13: mqtt.forward: "east-scale" makes this the hub',
    ),
    (
        LOCAL.replace("east-pot", "pot ö") + BROKER + "forward = true\n",
        '7: instrument "pot ö": name: "pot ö" cannot be sent: SenML allows letters from a to z',
    ),
]


@pytest.mark.parametrize(("text", "sentence"), REFUSED)
def test_what_cannot_be_used_is_refused_with_its_line(
    tmp_path: Path, text: str, sentence: str
) -> None:
    said = complaint(tmp_path, HEAD + text)
    assert said.startswith(f"workshop.toml:{sentence}")
    assert UNTOLD not in said
    assert "271828" not in said


def test_typed_instruments_stand_beside_those_of_a_broker(tmp_path: Path) -> None:
    assert len(load(tmp_path, HEAD + REMOTE + TYPED + BROKER).instruments) == 2


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (LOCAL, '1: mqtt: "mqtt" is missing in the document'),
        (
            TYPED + BROKER,
            '10: instrument "east-jug": kind: pourkeep collect reads instruments that',
        ),
        (REMOTE + BROKER, '10: instrument "east-scale": kind: pourkeep collect reads instruments'),
    ],
)
def test_a_program_that_only_collects_refuses_what_it_cannot_read(
    tmp_path: Path, text: str, sentence: str
) -> None:
    said = complaint(tmp_path, HEAD + text, collects=True)
    assert said.startswith(f"workshop.toml:{sentence}")


@pytest.mark.parametrize(("name", "collects"), [("bench.toml", True), ("hub.toml", False)])
def test_the_examples_can_be_used_as_they_are(tmp_path: Path, name: str, collects: bool) -> None:
    (tmp_path / "ca.crt").touch()
    (tmp_path / "mqtt-password").write_text(f"{UNTOLD}\n")
    config = load(tmp_path, (EXAMPLES / name).read_text("utf-8"), collects=collects)
    assert config.mqtt is not None
    assert (config.mqtt.port, config.mqtt.password) == (8883, UNTOLD)
    assert config.mqtt.forward is collects
    assert [one.name for one in config.instruments] == ["east-scale", "east-pitcher"]
