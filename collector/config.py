"""The one configuration of a workshop, read from workshop.toml; unknown keys are refused."""

import ipaddress
from pathlib import Path
from typing import Literal, NoReturn, cast
from zoneinfo import ZoneInfo, available_timezones

import msgspec

from collector.attendance import Unattended
from collector.display import Display
from collector.documents import Section, near_miss, read_toml
from collector.influx_config import InfluxConfig, read_influx
from collector.instrument_config import (
    HidScale,
    InstrumentConfig,
    Link,
    Manual,
    Mqtt,
    OneWire,
    SerialScale,
    read_instruments,
    usable_name,
)
from collector.mqtt_config import MqttConfig, read_mqtt
from collector.notices_config import NoticesConfig, read_notices
from collector.retention import ALL_KEPT, Retention
from collector.store_config import read_store
from collector.units import Dimension

__all__ = [
    "ApiConfig",
    "Config",
    "Display",
    "HidScale",
    "InstrumentConfig",
    "Link",
    "Manual",
    "Mqtt",
    "MqttConfig",
    "OneWire",
    "SerialScale",
    "load_config",
]

MIN_TOKEN = 16
"""Fewest characters of an API token: 16 of base64 are 96 bits."""

LEAST_UNATTENDED_US = 60_000_000
"""Whoever waits for a pitcher to cool touches nothing for minutes."""

_TEMPERATURES = ("degC", "degF")
_MASSES = ("g", "oz")


class ApiConfig(msgspec.Struct, frozen=True):
    """Where the service listens. Port 0 lets the system choose a free one.

    An address that other machines can reach has at least one token.
    """

    host: str = "127.0.0.1"
    port: int = 8420
    tokens: tuple[str, ...] = ()


class Config(msgspec.Struct, frozen=True, kw_only=True):
    """A workshop: its benches, their instruments, and where the data goes.

    `data` and `recipes` are absolute; `timezone` is an IANA name that this machine knows.
    """

    name: str
    timezone: str
    data: Path
    recipes: Path | None = None
    display: Display = Display()
    benches: tuple[str, ...]
    instruments: tuple[InstrumentConfig, ...] = ()
    api: ApiConfig = ApiConfig()
    unattended: Unattended | None = Unattended()
    retention: Retention = ALL_KEPT
    influx: InfluxConfig | None = None
    mqtt: MqttConfig | None = None
    notices: NoticesConfig | None = None


def load_config(path: Path, *, collects: bool = False) -> Config:
    """Read workshop.toml; paths in it are relative to its folder.

    `collects` says that the program only collects and forwards: then it needs a broker.

    Raises DocumentError, one sentence with file, line and field, for the first thing that
    cannot be used.
    """
    root = read_toml(path)
    folder = path.absolute().parent
    workshop = root.section("workshop")
    benches = _benches(root)
    instruments = read_instruments(root, benches, folder)
    name, timezone = workshop.text("name"), _timezone(workshop)
    config = Config(
        name=name,
        timezone=timezone,
        data=workshop.path("data", folder, "./data"),
        recipes=_recipes(workshop, folder),
        display=_display(workshop.optional_section("display")),
        benches=benches,
        instruments=instruments,
        unattended=_unattended(workshop),
        api=_api(root.optional_section("api"), folder),
        retention=read_store(root.optional_section("store")),
        influx=read_influx(root, folder),
        mqtt=read_mqtt(root, instruments, folder, collects=collects),
        notices=read_notices(root, timezone, folder, collects=collects),
    )
    root.done()
    return config


def _benches(root: Section) -> tuple[str, ...]:
    lines: dict[str, int | None] = {}
    for bench in root.sections("bench"):
        name = usable_name(bench)
        if name in lines:
            bench.refuse(f'the bench on line {lines[name]} is called "{name}" already', "name")
        lines[name] = bench.line("name")
    if not lines:
        root.refuse("a workshop needs at least one [[bench]] with a name", "bench")
    return tuple(lines)


def _timezone(workshop: Section) -> str:
    name = workshop.text("timezone")
    try:
        return ZoneInfo(name).key
    except (KeyError, ValueError, OSError):  # unknown, not a name, or a folder of names
        meant = near_miss(name, available_timezones())
        workshop.refuse(
            f'"{name}" is not an IANA time zone such as "Europe/Lisbon"{meant}', "timezone"
        )


def _recipes(workshop: Section, folder: Path) -> Path | None:
    if not workshop.has("recipes"):
        return None
    recipes = workshop.path("recipes", folder)
    if not recipes.is_dir():
        workshop.refuse(f"there is no folder {recipes}", "recipes")
    return recipes


def _display(section: Section) -> Display:
    return Display(
        temperature=cast(
            "Literal['degC', 'degF']", section.choice("temperature", _TEMPERATURES, "degC")
        ),
        mass=cast("Literal['g', 'oz']", section.choice("mass", _MASSES, "g")),
    )


def _unattended(workshop: Section) -> Unattended | None:
    """Return after how long a hot pot wants a sign of a person; None where that is "off"."""
    usual = Unattended()
    if not workshop.has("unattended"):
        return usual
    if isinstance(workshop.tree["unattended"], str):
        workshop.choice("unattended", ("off",))
        return None
    section = workshop.section("unattended")
    after_us = section.quantity("after", Dimension.DURATION, f"{usual.after_us} us")
    above_mdegc = section.quantity(
        "above", Dimension.TEMPERATURE, f"{usual.above_mdegc / 1000} degC"
    )
    if after_us < LEAST_UNATTENDED_US:
        section.refuse(
            f'expected at least "{LEAST_UNATTENDED_US // 60_000_000} min": a pitcher is waited for'
            " longer than that",
            "after",
        )
    return Unattended(after_us, above_mdegc)


def _api(section: Section, folder: Path) -> ApiConfig:
    tokens = _tokens(section, folder)
    host = section.text("host", ApiConfig().host)
    if not tokens and not _loopback(host):
        section.refuse(
            f'other machines can reach "{host}": set tokens or tokens_file in [api],'
            ' or host = "127.0.0.1"',
            "host",
        )
    port = section.integer("port", 0, 65535, ApiConfig().port)
    return ApiConfig(host, port, tokens)


def _loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _tokens(section: Section, folder: Path) -> tuple[str, ...]:
    has_list, has_file = section.has("tokens"), section.has("tokens_file")
    if has_list and has_file:
        section.refuse("write either tokens or tokens_file, not both", "tokens_file")
    if has_file:
        return _tokens_of_file(section, section.path("tokens_file", folder))
    tokens = section.texts("tokens") if has_list else ()
    for place, token in enumerate(tokens):
        if not _usable(token):
            _refuse_token(section, f"token {place + 1}", "tokens", place)
    return tokens


def _tokens_of_file(section: Section, path: Path) -> tuple[str, ...]:
    """Read one token a line; blank lines and those that begin with # do not count."""
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        section.refuse(f"{path} cannot be read: {error}", "tokens_file")
    tokens = {n: line.strip() for n, line in enumerate(lines, 1)}
    tokens = {n: token for n, token in tokens.items() if token and not token.startswith("#")}
    for n, token in tokens.items():
        if not _usable(token):
            _refuse_token(section, f"line {n} of {path}", "tokens_file")
    if not tokens:
        section.refuse(f"{path} holds no token", "tokens_file")
    return tuple(tokens.values())


def _usable(token: str) -> bool:
    """Tell whether a token is long enough and can stand in an HTTP header (RFC 9110, 5.5)."""
    return len(token) >= MIN_TOKEN and token.isascii() and token.isprintable() and " " not in token


def _refuse_token(section: Section, which: str, *names: str | int) -> NoReturn:
    """Refuse a token without repeating it: complaints end up in logs."""
    section.refuse(
        f"{which} is not usable: expected at least {MIN_TOKEN} ASCII characters without a space",
        *names,
    )
