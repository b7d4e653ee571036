"""Tries the broker for a moment and says in sentences how it went: `pourkeep check`."""

import asyncio
import secrets
from collections.abc import Iterable

from collector.config import Config
from collector.errors import LinkError, PackError
from collector.instrument_config import InstrumentConfig, Mqtt
from collector.link import bench_state, topics
from collector.link.bench_state import BenchState
from collector.link.broker import Arrived, Broker, Session
from collector.link.topics import EVERY_BENCH, Kind
from collector.mqtt_config import MqttConfig
from collector.readers.trial import TrialResult

LISTEN_S = 1.0
"""What is retained comes at once."""


def try_broker(config: Config) -> list[TrialResult]:
    """Connect and listen for a moment; blocks.

    Returns a result for the broker and one for each instrument of kind mqtt; none where the
    config has no broker.
    """
    return [] if config.mqtt is None else asyncio.run(_try(config.mqtt, config.instruments))


async def _try(mqtt: MqttConfig, instruments: Iterable[InstrumentConfig]) -> list[TrialResult]:
    name = f"broker {mqtt.host} port {mqtt.port}"
    remote = [one for one in instruments if isinstance(one.link, Mqtt)]
    try:
        async with Broker(mqtt, f"pourkeep-check-{secrets.token_hex(4)}").connected() as session:
            states = await _states(session) if remote else {}
    except LinkError as error:
        return [TrialResult(name, ok=False, sentence=f"{name}: {error.message}")]
    secured = "with TLS" if mqtt.tls is not None else "without TLS"
    connected = TrialResult(name, ok=True, sentence=f"{name}: connected {secured}")
    return [connected, *(_judged(one, states.get(one.bench)) for one in remote)]


async def _states(session: Session) -> dict[str, BenchState]:
    """Return what each bench has told of itself last."""
    await session.subscribe(*EVERY_BENCH)
    states: dict[str, BenchState] = {}
    try:
        async with asyncio.timeout(LISTEN_S):
            while True:
                for message in await session.arrived(100):
                    states |= _told(message)
    except TimeoutError:
        return states


def _told(message: Arrived) -> dict[str, BenchState]:
    whose = topics.read(message.topic)
    if whose is None or whose[1] is not Kind.STATE:
        return {}
    try:
        return {whose[0]: bench_state.decode(message.payload)}
    except PackError:
        return {}  # the hub tells it in its log


def _judged(instrument: InstrumentConfig, state: BenchState | None) -> TrialResult:
    ok, words = _verdict(instrument, state)
    return TrialResult(instrument.name, ok, f"{instrument.name}: {words}")


def _verdict(instrument: InstrumentConfig, state: BenchState | None) -> tuple[bool, str]:
    bench = instrument.bench
    if state is None:
        return False, f"bench {bench} has told nothing yet. Start pourkeep collect there"
    if not state.online:
        return False, f"bench {bench} is offline: {state.reason}. Check its machine and network"
    device = instrument.link.device if isinstance(instrument.link, Mqtt) else ""
    link = next((link for link in state.instruments if link.name == device), None)
    if link is None:
        return False, f'bench {bench} is online, but has no device "{device}". Correct device'
    if link.reason is not None:
        return False, f"{link.reason}. {link.remedy}"
    return True, f"{link.state} at bench {bench}"
