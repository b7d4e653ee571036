"""The broker, over the one module that knows the MQTT client.

The client acknowledges a message before anyone has looked at it, and an object that was offline
sends later what it refused before: so every connection is a new object, nothing is repeated on
the old one, and whoever needs to know that something arrived asks the other end for it.
"""

import asyncio
import logging
import random
import socket
import ssl
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from typing import Any

import aiomqtt
import msgspec
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties
from paho.mqtt.reasoncodes import ReasonCode

from collector.errors import LinkError
from collector.link.broker_failures import broker_failed
from collector.mqtt_config import MqttConfig, Tls

_LOG = logging.getLogger(__name__)

_CLIENT_LOG = logging.getLogger(f"{__name__}.client")
_CLIENT_LOG.setLevel(logging.CRITICAL)  # what goes wrong is told in sentences, once

KEEPALIVE_S = 5
"""The broker tells a last will when it has heard nothing for one and a half of it (MQTT 5.0,
section 3.1.2.10)."""

TIMEOUT_S = 5.0
"""How long the broker may take to answer anything."""

FIRST_WAIT_S = 0.5
LAST_WAIT_S = 10.0
"""Waits between attempts double from the first to the last, and are drawn from their upper
half, so that benches do not all come at once when a broker is back."""

STEADY_S = 30.0
"""A connection that held for so long before it broke is tried again as if it never had."""

MOST_WAITING = 2_000
"""Messages that may wait to be looked at; what is dropped beyond is sent again."""


class Will(msgspec.Struct, frozen=True):
    """What the broker tells, retained, when the connection breaks off."""

    topic: str
    payload: bytes


class Arrived(msgspec.Struct, frozen=True):
    """A message as it came; `retained` says that it is an old one, kept by the broker."""

    topic: str
    payload: bytes
    retained: bool = False
    reply_to: str | None = None
    correlation: bytes | None = None


class Session:
    """One connection to the broker while it lasts. Every method raises LinkError."""

    def __init__(self, client: aiomqtt.Client, failed: Callable[[Exception], LinkError]) -> None:
        self._client = client
        self._failed = failed
        self._refused = _refusals_of(client)

    async def subscribe(self, *topics: str) -> None:
        """Listen to topics; what is retained there comes at once."""
        try:
            granted = await self._client.subscribe([(topic, 1) for topic in topics])
        except aiomqtt.MqttError as error:
            raise self._failed(error) from error
        _stop_if_asked()
        self._refused += [code for code in granted if isinstance(code, ReasonCode)]
        self._raise_refused()

    async def publish(
        self,
        topic: str,
        payload: bytes,
        *,
        retain: bool = False,
        reply_to: str | None = None,
        correlation: bytes | None = None,
    ) -> None:
        """Give a message to the broker, at least once; returns when the broker has it."""
        properties = Properties(PacketTypes.PUBLISH)  # type: ignore[no-untyped-call]
        if reply_to is not None:
            properties.ResponseTopic = reply_to
        if correlation is not None:
            properties.CorrelationData = correlation
        try:
            await self._client.publish(topic, payload, 1, retain, properties)
        except aiomqtt.MqttError as error:
            raise self._failed(error) from error
        _stop_if_asked()
        self._raise_refused()

    def _raise_refused(self) -> None:
        """Raise LinkError where the broker took something and will not pass it on."""
        refused = next((code for code in self._refused if code.is_failure), None)
        self._refused.clear()
        if refused is not None:
            raise self._failed(aiomqtt.MqttCodeError(refused))

    async def arrived(self, most: int) -> list[Arrived]:
        """Wait for messages and return at most so many, at least one."""
        messages = self._client.messages
        try:
            taken = [await anext(messages)]
            while len(messages) and len(taken) < most:
                taken.append(await anext(messages))
        except aiomqtt.MqttError as error:
            raise self._failed(error) from error
        return [_arrived(message) for message in taken]


class Broker:
    """The broker of a workshop, seen by one program under one name."""

    def __init__(self, config: MqttConfig, identifier: str, will: Will | None = None) -> None:
        self._config = config
        self._identifier = identifier
        self._will = will
        self.trouble: LinkError | None = None
        """Why there is no connection, None while there is one or before the first attempt."""

    @asynccontextmanager
    async def connected(self) -> AsyncIterator[Session]:
        """Connect for the block; its end says goodbye, so that the last will is not told.

        Raises LinkError where the connection cannot be made or broke off.
        """
        tls, client = None, None
        try:
            tls = await asyncio.to_thread(_usable, self._config.tls) if self._config.tls else None
            client = self._client(tls)
            async with client:
                yield Session(client, self._failed)
        except (aiomqtt.MqttError, OSError) as error:
            raise self._failed(error) from error
        finally:
            _forget_end(client)
            if tls is not None:
                _close(tls.last)

    async def stay_connected(
        self,
        visit: Callable[[Session], Awaitable[None]],
        broken: Callable[[LinkError], None] = lambda _: None,
    ) -> None:
        """Connect, visit, and connect again whenever the connection breaks off; never returns.

        `broken` is told of every failure; the log, of each reason once until it works again.
        """
        loop, wait_s, told = asyncio.get_running_loop(), FIRST_WAIT_S, ""
        while True:
            began_s = loop.time()
            try:
                async with self.connected() as session:
                    _LOG.info("connected to the broker at %s", self._config.host)
                    told, self.trouble = "", None
                    await _in_a_task_of_its_own(visit(session))
            except* LinkError as failures:
                failure = _first(failures)
                if failure.reason != told:
                    _LOG.warning("%s", failure.message)
                told, self.trouble = failure.reason, failure
                broken(failure)
            if loop.time() - began_s > STEADY_S:
                wait_s = FIRST_WAIT_S
            await asyncio.sleep(wait_s * random.uniform(0.5, 1.0))  # noqa: S311 - no secret
            wait_s = min(2 * wait_s, LAST_WAIT_S)

    def _failed(self, error: Exception) -> LinkError:
        return broker_failed(error, self._config, self._identifier)

    def _client(self, tls: ssl.SSLContext | None) -> aiomqtt.Client:
        config, will = self._config, self._will
        client = aiomqtt.Client(
            config.host,
            config.port,
            username=config.user,
            password=config.password,
            identifier=self._identifier,
            logger=_CLIENT_LOG,
            protocol=aiomqtt.ProtocolVersion.V5,
            clean_start=True,  # what was under way is sent again by whoever sent it
            will=None if will is None else aiomqtt.Will(will.topic, will.payload, 1, retain=True),
            keepalive=KEEPALIVE_S,
            timeout=TIMEOUT_S,
            max_queued_incoming_messages=MOST_WAITING,
            tls_context=tls,
            # Small messages at once: waiting for more to send with them would cost 40 ms each.
            socket_options=[(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)],
        )
        client._loop = _ForgivingLoop(client._loop)  # type: ignore[assignment]  # noqa: SLF001
        return client


class _ForgivingLoop:
    """The event loop, as the client uses it.

    The client asks to watch a socket one turn after it may have been closed, which would leave a
    traceback in the log: that the connection is gone is told anyway.
    """

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self._loop = loop

    def __getattr__(self, name: str) -> object:
        return getattr(self._loop, name)

    def add_reader(self, descriptor: int, callback: Callable[[], None]) -> None:
        """Watch for bytes."""
        with suppress(OSError, ValueError):
            self._loop.add_reader(descriptor, callback)

    def add_writer(self, descriptor: int, callback: Callable[[], None]) -> None:
        """Watch for room."""
        with suppress(OSError, ValueError):
            self._loop.add_writer(descriptor, callback)


class _Tls(ssl.SSLContext):
    """What a connection is protected by; the client does not close it when its start fails."""

    last: ssl.SSLSocket | None = None
    """The socket that was protected last."""

    def wrap_socket(self, *arguments: Any, **named: Any) -> ssl.SSLSocket:  # noqa: ANN401 - the library's
        """Protect a socket and remember it."""
        self.last = super().wrap_socket(*arguments, **named)
        return self.last


def _refusals_of(client: aiomqtt.Client) -> list[ReasonCode]:
    """Return a list that gets the broker's answer to each message (MQTT 5.0, 3.4.2.1).

    The client throws it away: what an access list forbids would look delivered.
    """
    answers: list[ReasonCode] = []
    heard: Any = client._client.on_publish  # noqa: SLF001 - there is no other way to it

    def hear(paho: Any, data: Any, mid: int, code: ReasonCode, more: Any) -> None:  # noqa: ANN401
        if code.is_failure:
            answers.append(code)
        if heard is not None:
            heard(paho, data, mid, code, more)

    client._client.on_publish = hear  # noqa: SLF001 - as above
    return answers


def _usable(tls: Tls) -> _Tls:
    """Return what the connection is protected by. Raises LinkError for an unusable file."""
    try:
        return _tls(tls)
    except OSError as error:
        raise LinkError(
            f"ca, certificate or key under [mqtt] cannot be used ({error})",
            "Name files that this account may read and that hold what their keys say",
        ) from error


def _tls(tls: Tls) -> _Tls:
    """Return what the connection is protected by. Raises OSError for an unusable file."""
    context = _Tls(ssl.PROTOCOL_TLS_CLIENT)  # certificates and names are checked
    if tls.ca is not None:
        context.load_verify_locations(tls.ca)
    else:
        context.load_default_certs()
    if tls.certificate is not None and tls.key is not None:
        context.load_cert_chain(tls.certificate, tls.key)
    return context


async def _in_a_task_of_its_own(visit: Awaitable[None]) -> None:
    """Wait for a visit, so that `_stop_if_asked` sees only what is asked of it.

    Raises what the visit raises; a request to stop goes to the visit first. (A task group of
    Python 3.11 leaves a request behind on the task that it fails in.)
    """
    visiting = asyncio.ensure_future(visit)
    try:
        await asyncio.wait([visiting])
    except asyncio.CancelledError:
        visiting.cancel()
        await asyncio.wait([visiting])
        if not visiting.cancelled():
            _LOG.info("the connection to the broker ended with %r", visiting.exception())
        raise
    visiting.result()


def _stop_if_asked() -> None:
    """Stop a task that was asked to, where the client did not let it.

    It waits by `asyncio.wait_for`, which in Python 3.11 swallows a request that comes together
    with what was waited for.
    """
    task = asyncio.current_task()
    if task is not None and task.cancelling():
        raise asyncio.CancelledError


def _close(sock: socket.socket | None) -> None:
    """Close a socket that the client has left open, and watch it no more."""
    if sock is not None and sock.fileno() >= 0:
        loop = asyncio.get_running_loop()
        loop.remove_reader(sock.fileno())
        loop.remove_writer(sock.fileno())
        sock.close()


def _forget_end(client: aiomqtt.Client | None) -> None:
    """Take note of how a connection ended: what nobody asked for, asyncio would log as lost."""
    ended = getattr(client, "_disconnected", None)
    if isinstance(ended, asyncio.Future) and ended.done() and not ended.cancelled():
        ended.exception()


def _first(failures: BaseExceptionGroup[LinkError]) -> LinkError:
    for failure in failures.exceptions:
        return _first(failure) if isinstance(failure, BaseExceptionGroup) else failure
    raise failures  # a group is never empty


def _arrived(message: aiomqtt.Message) -> Arrived:
    properties = message.properties
    payload = message.payload
    return Arrived(
        str(message.topic),
        bytes(payload) if isinstance(payload, bytes | bytearray) else b"",
        message.retain,
        getattr(properties, "ResponseTopic", None),
        getattr(properties, "CorrelationData", None),
    )
