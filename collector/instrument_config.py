"""The [[instrument]] entries of workshop.toml."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import ClassVar, NoReturn

import msgspec

from collector.documents import Section, near_miss
from collector.readings import Channel, Role
from collector.senml import NAME
from collector.units import Dimension

_W1_DEVICES = "/sys/bus/w1/devices"  # where the kernel lays them (w1 sysfs ABI)
_W1_NAME = re.compile(r"[0-9a-f]{2}-[0-9a-f]{12}")  # family code and 48-bit serial number
_NAME = re.compile(r"\w[^/+#\\]{0,63}")  # names stand in URLs and MQTT topics
_MIN_EVERY_US = 10_000
_SILENT_W1_US = 5_000_000  # one conversion takes 0.75 s; some late ones are no silence


class SerialScale(msgspec.Struct, frozen=True):
    """A scale on a tty. `format` is "auto", "sma", or a regular expression of one line.

    The expression has the groups `value` and `unit`, and may have `stable`.
    """

    kind: ClassVar[str] = "serial-scale"
    port: str
    baud: int = 9600
    format: str = "auto"


class HidScale(msgspec.Struct, frozen=True):
    """A USB scale that shows itself as an HID device; what is None does not matter."""

    kind: ClassVar[str] = "hid-scale"
    path: str | None = None
    vendor: int | None = None
    product: int | None = None
    serial: str | None = None


class OneWire(msgspec.Struct, frozen=True):
    """A 1-Wire thermometer under `root`, read every `every_us` microseconds."""

    kind: ClassVar[str] = "one-wire"
    device: str
    root: Path = Path(_W1_DEVICES)
    every_us: int = 1_000_000


class Manual(msgspec.Struct, frozen=True):
    """An instrument without a lead: a person types its readings in."""

    kind: ClassVar[str] = "manual"


class Mqtt(msgspec.Struct, frozen=True):
    """An instrument at a bench whose readings come over the broker.

    `device` is its name there: the full SenML name, base name included.
    """

    kind: ClassVar[str] = "mqtt"
    device: str


Link = SerialScale | HidScale | OneWire | Mqtt | Manual


class InstrumentConfig(msgspec.Struct, frozen=True):
    """One instrument: where it stands, what it is used for, and how it is reached.

    `silent_after_us` is None for one that speaks only when a person does.
    """

    name: str
    bench: str
    role: Role
    link: Link
    silent_after_us: int | None = None

    @property
    def kind(self) -> str:
        """The kind as workshop.toml names it."""
        return self.link.kind

    def channel(self) -> Channel:
        """Return the one quantity that this instrument measures."""
        return Channel(self.name, self.bench, self.role, self.silent_after_us)


class _Kind(msgspec.Struct, frozen=True):
    """How a kind's own keys are read, and the roles that it can fill."""

    read: Callable[[Section, Path], Link]
    roles: tuple[Role, ...]


_THERMOMETERS = (Role.PITCHER, Role.POT, Role.ROOM)


def usable_name(section: Section) -> str:
    """Return the section's `name` if it can stand in a URL and in an MQTT topic."""
    name = section.text("name")
    if not _NAME.fullmatch(name):
        section.refuse(
            f'"{name}" is not a usable name: expected a letter or digit, then up to 63'
            " characters other than / \\ + #",
            "name",
        )
    return name


def read_instruments(
    root: Section, benches: tuple[str, ...], folder: Path
) -> tuple[InstrumentConfig, ...]:
    """Return the instruments in the file's order; paths are relative to `folder`.

    Raises DocumentError; names are unique, and so is each role at a bench.
    """
    lines: dict[str, int | None] = {}
    filled: dict[tuple[str, Role], str] = {}
    instruments = []
    for section in root.sections("instrument"):
        one = _instrument(section, benches, folder)
        if one.name in lines:
            section.refuse(
                f'the instrument on line {lines[one.name]} is called "{one.name}" already', "name"
            )
        before = filled.setdefault((one.bench, one.role), one.name)
        if before != one.name:
            section.refuse(
                f'bench "{one.bench}" has a {one.role} already, "{before}" on line'
                f" {lines[before]}: one instrument for each role at a bench",
                "role",
            )
        lines[one.name] = section.line("name")
        instruments.append(one)
    return tuple(instruments)


def _instrument(section: Section, benches: tuple[str, ...], folder: Path) -> InstrumentConfig:
    name = usable_name(section)
    bench = section.text("bench")
    if bench not in benches:
        section.refuse(f'there is no [[bench]] "{bench}"{near_miss(bench, benches)}', "bench")
    role = Role(section.choice("role", tuple(Role)))
    kind = _kind(section, role)
    link = kind.read(section, folder)
    return InstrumentConfig(name, bench, role, link, _silent_after_us(section, link))


def _kind(section: Section, role: Role) -> _Kind:
    name = section.text("kind")
    if name in _NOT_YET:
        section.refuse(
            f'kind "{name}" is not built yet: this version reads {", ".join(_KINDS)}', "kind"
        )
    kind = _KINDS[section.choice("kind", _KINDS)]
    if role not in kind.roles:
        others = " or ".join(other for other in _KINDS if role in _KINDS[other].roles)
        section.refuse(f'a {name} cannot be a {role}: role "{role}" needs {others}', "kind")
    return kind


def _serial_scale(section: Section, _folder: Path) -> Link:
    return SerialScale(
        port=section.text("port"),
        baud=section.integer("baud", 50, 4_000_000, 9600),
        format=_line_format(section),
    )


def _line_format(section: Section) -> str:
    if section.text("format", "auto") in {"auto", "sma"}:
        return section.text("format", "auto")
    text = str(section.tree["format"])  # spaces at its ends are part of an expression
    try:
        groups = re.compile(text).groupindex
    except (re.error, OverflowError, RecursionError) as error:
        section.refuse(f"not a regular expression: {error}", "format")
    if not {"value", "unit"} <= groups.keys():
        _refuse_format(section)
    return text


def _refuse_format(section: Section) -> NoReturn:
    section.refuse(
        'expected "auto", "sma", or a regular expression with the groups value and unit, such as'
        r" '(?P<value>[0-9.]+) *(?P<unit>[a-z]+)'",
        "format",
    )


def _hid_scale(section: Section, _folder: Path) -> Link:
    link = HidScale(
        path=section.text("path") if section.has("path") else None,
        vendor=_usb_number(section, "vendor"),
        product=_usb_number(section, "product"),
        serial=section.text("serial") if section.has("serial") else None,
    )
    if link.product is not None and link.vendor is None:
        section.refuse("a product number means nothing without the vendor's: add vendor", "product")
    return link


def _usb_number(section: Section, name: str) -> int | None:
    """Return a 16-bit USB number, written as an integer or as text such as "0x0922"."""
    if not section.has(name):
        return None
    if not isinstance(section.tree[name], str):
        return section.integer(name, 0, 0xFFFF)
    text = section.text(name)
    if not re.fullmatch(r"0[xX][0-9a-fA-F]{1,4}", text):
        section.refuse(f'expected a USB number such as "0x0922", not "{text}"', name)
    return int(text, 16)


def _one_wire(section: Section, folder: Path) -> Link:
    device = section.text("device")
    if not _W1_NAME.fullmatch(device):
        section.refuse(
            f'expected a 1-Wire name such as "28-000005e2fdc3", not "{device}"', "device"
        )
    every_us = section.quantity("every", Dimension.DURATION, "1 s")
    if every_us < _MIN_EVERY_US:
        section.refuse("a thermometer cannot be read more than 100 times a second", "every")
    return OneWire(device, section.path("root", folder, _W1_DEVICES), every_us)


def _mqtt(section: Section, _folder: Path) -> Link:
    device = section.text("device", section.text("name"))
    if not NAME.fullmatch(device):
        section.refuse(
            f'"{device}" is no name in SenML: expected a letter from a to z or a digit, then those'
            " and - : . / _ (RFC 8428)",
            "device" if section.has("device") else "name",
        )
    return Mqtt(device)


def _silent_after_us(section: Section, link: Link) -> int | None:
    """Return how long the instrument may say nothing; a typed-in one may for ever."""
    if isinstance(link, Manual):
        return None
    longest = 10_000_000
    if isinstance(link, OneWire):
        longest = max(_SILENT_W1_US, 3 * link.every_us)
    if not section.has("silent_after"):
        return longest
    silent_us = section.positive("silent_after", Dimension.DURATION)
    if isinstance(link, OneWire) and silent_us <= link.every_us:
        section.refuse("must be longer than every, or it is always silent", "silent_after")
    return silent_us


_KINDS = {
    SerialScale.kind: _Kind(_serial_scale, (Role.SCALE,)),
    HidScale.kind: _Kind(_hid_scale, (Role.SCALE,)),
    OneWire.kind: _Kind(_one_wire, _THERMOMETERS),
    Mqtt.kind: _Kind(_mqtt, (Role.SCALE, *_THERMOMETERS)),
    Manual.kind: _Kind(lambda _section, _folder: Manual(), (Role.SCALE, *_THERMOMETERS)),
}
_NOT_YET = ("modbus", "ble")
