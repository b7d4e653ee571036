from pathlib import Path

import pytest

from collector.config import (
    Config,
    HidScale,
    InstrumentConfig,
    Manual,
    SerialScale,
    load_config,
)
from collector.errors import DocumentError
from collector.readings import Channel, Role

HEAD = """\
[workshop]
name = "Pier Lane"
timezone = "Europe/Lisbon"
[[bench]]
name = "east"
"""
"""The least that a workshop has; what a test adds begins on line 6."""


def load(folder: Path, text: str) -> Config:
    file = folder / "workshop.toml"
    file.write_text(text, "utf-8")
    return load_config(file)


def complaint(folder: Path, text: str) -> str:
    """Return the complaint without the folder in front of it."""
    with pytest.raises(DocumentError) as refused:
        load(folder, text)
    return refused.value.message.replace(f"{folder}/", "")


def instrument(name: str = "a", role: str = "scale", **keys: str) -> str:
    """Write an entry of seven lines at most; values are TOML."""
    lines = [f'name = "{name}"', 'bench = "east"', f'role = "{role}"']
    return "\n".join(["[[instrument]]", *lines, *(f"{k} = {v}" for k, v in keys.items()), ""])


def serial(name: str = "a", **keys: str) -> str:
    return instrument(name, kind='"serial-scale"', port='"/dev/ttyUSB0"', **keys)


def one_wire(role: str = "pitcher", name: str = "a", **keys: str) -> str:
    return instrument(name, role, kind='"one-wire"', device='"28-000005e2fdc3"', **keys)


def test_an_instrument_tells_its_kind_and_channel(tmp_path: Path) -> None:
    scale, probe = load(tmp_path, HEAD + serial("a") + one_wire(name="b")).instruments
    assert (scale.kind, probe.kind) == ("serial-scale", "one-wire")
    assert probe.channel() == Channel("b", "east", Role.PITCHER, 5_000_000)


@pytest.mark.parametrize(
    ("entry", "silent_after_us"),
    [
        (serial(), 10_000_000),
        (serial(silent_after='"3 s"'), 3_000_000),
        (one_wire(), 5_000_000),
        (one_wire(every='"4 s"'), 12_000_000),
        (instrument(kind='"manual"'), None),
    ],
)
def test_silence_is_judged_by_how_often_an_instrument_speaks(
    tmp_path: Path, entry: str, silent_after_us: int | None
) -> None:
    assert load(tmp_path, HEAD + entry).instruments[0].silent_after_us == silent_after_us


@pytest.mark.parametrize("role", ["scale", "pitcher", "pot", "room"])
def test_every_role_can_be_typed_in(tmp_path: Path, role: str) -> None:
    only = load(tmp_path, HEAD + instrument(role=role, kind='"manual"')).instruments[0]
    assert only == InstrumentConfig("a", "east", Role(role), Manual(), None)


@pytest.mark.parametrize(
    ("keys", "link"),
    [
        ({}, HidScale()),
        ({"path": '"/dev/hidraw0"'}, HidScale(path="/dev/hidraw0")),
        ({"vendor": '"0x0922"', "product": '"0x8003"'}, HidScale(None, 0x0922, 0x8003)),
        ({"vendor": "2338", "serial": '"77"'}, HidScale(None, 2338, None, "77")),
    ],
)
def test_a_hid_scale_is_found_by_what_is_given(
    tmp_path: Path, keys: dict[str, str], link: HidScale
) -> None:
    entry = instrument(kind='"hid-scale"', **keys)
    assert load(tmp_path, HEAD + entry).instruments[0].link == link


@pytest.mark.parametrize(
    "line_format", ["auto", "sma", r" (?P<value>[-0-9.]+) (?P<unit>g)(?P<stable> S)? "]
)
def test_a_serial_scale_takes_a_named_format_or_an_expression(
    tmp_path: Path, line_format: str
) -> None:
    link = load(tmp_path, HEAD + serial(format=f"'{line_format}'")).instruments[0].link
    assert link == SerialScale("/dev/ttyUSB0", 9600, line_format)


TWO_POTS = instrument("a", "pot", kind='"manual"') + instrument("b", "pot", kind='"manual"')
TWO_NAMES = serial("a") + instrument("a", "pot", kind='"manual"')

REFUSED_INSTRUMENTS = [
    (
        serial(prot='"x"'),
        (
            '12: instrument "a": prot: unknown key; the keys allowed here are:'
            " name, bench, role, kind, port, baud, format, silent_after"
        ),
    ),
    (
        TWO_NAMES,
        '13: instrument "a": name: the instrument on line 7 is called "a" already',
    ),
    (
        TWO_POTS,
        (
            '14: instrument "b": role: bench "east" has a pot already, "a" on line 7:'
            " one instrument for each role at a bench"
        ),
    ),
    (
        serial().replace('bench = "east"', 'bench = "eest"'),
        '8: instrument "a": bench: there is no [[bench]] "eest"; did you mean "east"?',
    ),
    (
        instrument(role="pitchr", kind='"manual"'),
        (
            '9: instrument "a": role: expected one of "scale", "pitcher", "pot", "room", not'
            ' "pitchr"; did you mean "pitcher"?'
        ),
    ),
    (
        instrument(kind='"serial-scal"'),
        (
            '10: instrument "a": kind: expected one of "serial-scale", "hid-scale", "one-wire",'
            ' "mqtt", "manual", not "serial-scal"; did you mean "serial-scale"?'
        ),
    ),
    (
        instrument(kind='"modbus"'),
        (
            '10: instrument "a": kind: kind "modbus" is not built yet: this version reads'
            " serial-scale, hid-scale, one-wire, mqtt, manual"
        ),
    ),
    (
        instrument(kind='"mqtt"'),
        '10: instrument "a": kind: kind mqtt needs the section [mqtt], with the broker\'s host',
    ),
    (
        instrument("ä", kind='"mqtt"'),
        '7: instrument "ä": name: "ä" is no name in SenML: expected a letter from a to z or',
    ),
    (
        instrument(kind='"mqtt"', device='"a b"'),
        '11: instrument "a": device: "a b" is no name in SenML: expected a letter from a to z or',
    ),
    (instrument(kind='"ble"'), '10: instrument "a": kind: kind "ble" is not built yet'),
    (
        one_wire("scale"),
        (
            '10: instrument "a": kind: a one-wire cannot be a scale: role "scale" needs'
            " serial-scale or hid-scale or mqtt or manual"
        ),
    ),
    (
        instrument(role="pot", kind='"serial-scale"', port='"x"'),
        (
            '10: instrument "a": kind: a serial-scale cannot be a pot: role "pot" needs one-wire'
            " or mqtt or manual"
        ),
    ),
    (
        instrument(kind='"serial-scale"'),
        '6: instrument "a": port: "port" is missing in this [[instrument]]',
    ),
    (
        serial(baud="0"),
        '12: instrument "a": baud: expected a whole number from 50 to 4000000, not the number 0',
    ),
    (
        serial(format="'(?P<value>[0-9.]+'"),
        '12: instrument "a": format: not a regular expression: missing ), unterminated subpattern',
    ),
    (
        serial(format="'a{99999999999999999999}'"),
        '12: instrument "a": format: not a regular expression: the repetition number is too large',
    ),
    (
        serial(format="'(?P<value>[0-9.]+) g'"),
        (
            '12: instrument "a": format: expected "auto", "sma", or a regular expression with the'
            " groups value and unit"
        ),
    ),
    (
        serial(silent_after='"0 s"'),
        '12: instrument "a": silent_after: must be more than zero, not "0',
    ),
    (
        serial(silent_after='"9 g"'),
        '12: instrument "a": silent_after: "g" measures a mass; expected a duration',
    ),
    (
        one_wire(every='"4 s"', silent_after='"4 s"'),
        '13: instrument "a": silent_after: must be longer than every, or it is always silent',
    ),
    (
        one_wire(every='"1 ms"'),
        '12: instrument "a": every: a thermometer cannot be read more than 100 times a second',
    ),
    (
        instrument(role="pot", kind='"one-wire"', device='"../28-000005e2fdc3"'),
        '11: instrument "a": device: expected a 1-Wire name such as "28-000005e2fdc3", not "../28',
    ),
    (
        instrument(kind='"hid-scale"', product='"0x8003"'),
        '11: instrument "a": product: a product number means nothing without the vendor\'s',
    ),
    (
        instrument(kind='"hid-scale"', vendor='"0922"'),
        '11: instrument "a": vendor: expected a USB number such as "0x0922", not "0922"',
    ),
    (
        instrument(kind='"hid-scale"', vendor="65536"),
        '11: instrument "a": vendor: expected a whole number from 0 to 65535, not the number 65536',
    ),
    (
        instrument("a/b", kind='"manual"'),
        '7: instrument "a/b": name: "a/b" is not a usable name: expected a letter or digit',
    ),
    (
        instrument(kind='"manual"', silent_after='"9 s"'),
        (
            '11: instrument "a": silent_after: unknown key; the keys allowed here are: name, bench,'
            " role, kind"
        ),
    ),
]


@pytest.mark.parametrize(("entry", "sentence"), REFUSED_INSTRUMENTS)
def test_an_unusable_instrument_is_refused_with_its_line(
    tmp_path: Path, entry: str, sentence: str
) -> None:
    assert complaint(tmp_path, HEAD + entry).startswith(f"workshop.toml:{sentence}")
