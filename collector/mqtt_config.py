"""The [mqtt] section of workshop.toml: the broker between benches and their hub."""

from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

import msgspec

from collector.documents import Section
from collector.instrument_config import InstrumentConfig, Manual, Mqtt
from collector.senml import NAME

PORT = 1883
TLS_PORT = 8883
"""The registered ports (IANA: mqtt, secure-mqtt)."""

RESERVED = ("hub", "alarms")
"""No bench can have these names: the topics below them are the hub's."""


class Tls(msgspec.Struct, frozen=True):
    """How the connection is protected; without `ca` the system's authorities are trusted."""

    ca: Path | None = None
    certificate: Path | None = None
    key: Path | None = None


class MqttConfig(msgspec.Struct, frozen=True):
    """How the broker is reached; `forward` says whether the benches here send their readings."""

    host: str
    port: int = PORT
    user: str | None = None
    password: str | None = None
    tls: Tls | None = None
    forward: bool = False

    def __repr__(self) -> str:
        """Leave the password out: this ends up in logs."""
        return f"MqttConfig({self.host!r}, {self.port}, forward={self.forward})"


def read_mqtt(
    root: Section, instruments: Sequence[InstrumentConfig], folder: Path, *, collects: bool
) -> MqttConfig | None:
    """Return the section, None where there is none; paths are relative to `folder`.

    `collects` says that the program only collects and forwards. Raises DocumentError, also for
    an instrument or bench that cannot do what is wanted of it.
    """
    if not collects and not root.has("mqtt"):
        _refuse_without_broker(root, instruments)
        return None
    section = root.section("mqtt")
    config = _broker(section, folder, collects=collects)
    _check_benches(root)
    _check_devices(root, instruments)
    if collects:
        _check_collected(root, instruments)
    if config.forward:
        _check_forwarded(root, section, instruments)
    return config


def _broker(section: Section, folder: Path, *, collects: bool) -> MqttConfig:
    host = section.text("host")
    tls = _tls(section, folder)
    port = section.integer("port", 1, 65535, PORT if tls is None else TLS_PORT)
    user = section.text("user") if section.has("user") else None
    password = _password(section, folder)
    if password is not None and user is None:
        section.refuse("a password needs a user beside it", "user")
    forward = section.flag("forward") or collects
    return MqttConfig(host, port, user, password, tls, forward)


def _tls(section: Section, folder: Path) -> Tls | None:
    files = {name: _file(section, name, folder) for name in ("ca", "certificate", "key")}
    if not section.flag("tls"):
        for name, path in files.items():
            if path is not None:
                section.refuse("this is used with tls = true only", name)
        return None
    for name, other in (("certificate", "key"), ("key", "certificate")):
        if files[name] is not None and files[other] is None:
            section.refuse(f"{name} needs {other} beside it", name)
    return Tls(**files)


def _file(section: Section, name: str, folder: Path) -> Path | None:
    if not section.has(name):
        return None
    path = section.path(name, folder)
    if not path.is_file():
        section.refuse(f"there is no file {path}", name)
    return path


def _password(section: Section, folder: Path) -> str | None:
    """Return the password. No complaint repeats it."""
    written, in_file = section.has("password"), section.has("password_file")
    if written and in_file:
        section.refuse("write either password or password_file, not both", "password_file")
    if written:
        if not isinstance(section.tree["password"], str):
            section.refuse("expected text in quotes", "password")
        return section.text("password")
    return _password_of_file(section, folder) if in_file else None


def _password_of_file(section: Section, folder: Path) -> str:
    path = section.path("password_file", folder)
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        section.refuse(f"{path} cannot be read: {error}", "password_file")
    if len(lines) != 1 or not lines[0].strip():
        section.refuse(
            f"{path}: expected the password on one line and nothing else", "password_file"
        )
    return lines[0].strip()


# ------------------------------------------------------------ what goes over it


def _refuse_without_broker(root: Section, instruments: Sequence[InstrumentConfig]) -> None:
    for section, one in zip(root.sections("instrument"), instruments, strict=True):
        if isinstance(one.link, Mqtt):
            section.refuse("kind mqtt needs the section [mqtt], with the broker's host", "kind")


def _check_benches(root: Section) -> None:
    for bench in root.sections("bench"):
        if bench.text("name") in RESERVED:
            bench.refuse(f"with [mqtt] no bench can be called {' or '.join(RESERVED)}", "name")


def _check_devices(root: Section, instruments: Sequence[InstrumentConfig]) -> None:
    """Refuse what the hub could not tell apart, or could not bring into order."""
    taken: dict[tuple[str, str], str] = {}
    remote = {one.bench for one in instruments if isinstance(one.link, Mqtt)}
    for section, one in zip(root.sections("instrument"), instruments, strict=True):
        if isinstance(one.link, Mqtt):
            other = taken.setdefault((one.bench, one.link.device), one.name)
            if other != one.name:
                section.refuse(f'"{other}" is this bench\'s device of that name already', "device")
        elif one.bench in remote and not isinstance(one.link, Manual):
            section.refuse(
                f'bench "{one.bench}" has instruments over MQTT. What this machine reads itself'
                " is there sooner, and a bench takes its readings in order: let the machine at"
                " that bench read all of them, or make two benches",
                "kind",
            )


def _check_collected(root: Section, instruments: Sequence[InstrumentConfig]) -> None:
    for section, one in zip(root.sections("instrument"), instruments, strict=True):
        if isinstance(one.link, Manual | Mqtt):
            section.refuse(
                f"pourkeep collect reads instruments that are connected here, and a {one.kind} one"
                " is not: give it to the hub, or run pourkeep serve here",
                "kind",
            )


def _check_forwarded(root: Section, mqtt: Section, instruments: Sequence[InstrumentConfig]) -> None:
    for section, one in zip(root.sections("instrument"), instruments, strict=True):
        if isinstance(one.link, Mqtt):
            _refuse_both(mqtt, one)
        if not NAME.fullmatch(one.name):
            section.refuse(
                f'"{one.name}" cannot be sent: SenML allows letters from a to z, digits and'
                " - : . / _ in a name (RFC 8428)",
                "name",
            )


def _refuse_both(mqtt: Section, instrument: InstrumentConfig) -> NoReturn:
    mqtt.refuse(
        f'"{instrument.name}" makes this the hub, which confirms what it stores: it cannot forward'
        " to a hub as well",
        "forward",
    )
