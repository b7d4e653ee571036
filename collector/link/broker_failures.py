"""Sentences for the ways in which a broker cannot be used, and what a person can do about each."""

import errno
import socket
import ssl
from collections.abc import Iterator

from collector.errors import LinkError
from collector.mqtt_config import MqttConfig

# Reason codes of MQTT 5.0, section 2.4.
_BAD_USER = 0x86
_NOT_AUTHORIZED = 0x87  # what Mosquitto also says to a wrong password
_TAKEN_OVER = 0x8E

_REACH = "Check that the broker runs, and host, port and tls under [mqtt]"
_BROKE_OFF = (
    "Check the network; if it happens again and again, whether two machines send for one bench"
)

_OF_THE_SYSTEM = {
    errno.ECONNREFUSED: "Nothing listens at {place}",
    errno.ETIMEDOUT: "{place} does not answer",
    errno.EHOSTUNREACH: "There is no way to {place} in this network",
    errno.ENETUNREACH: "This machine has no network to reach {place}",
    errno.ECONNRESET: "{place} broke the connection off",
}

_OF_THE_BROKER = {
    _BAD_USER: (
        "The broker at {place} refuses this user or password",
        "Correct user and password under [mqtt], or give them to the broker",
    ),
    _NOT_AUTHORIZED: (
        "The broker at {place} refuses this user or password, or what it wants to do",
        "Correct user and password under [mqtt], and what the broker allows this user",
    ),
    _TAKEN_OVER: (
        "Another program goes by the name {identifier} at the broker",
        "Let only one machine send for a bench, and only one be the hub",
    ),
}


def broker_failed(error: BaseException, config: MqttConfig, identifier: str) -> LinkError:
    """Return the error for a connection that could not be made, or that broke.

    The client wraps what really happened: all that led to the error is looked through.
    """
    place = f"{config.host} port {config.port}"
    causes = list(_causes(error))
    for cause in causes:
        known = _known(cause, place, config.host)
        if known is not None:
            return LinkError(*known)
    for cause in causes:
        reason, remedy = _OF_THE_BROKER.get(_code(cause), ("", ""))
        if reason:
            return LinkError(reason.format(place=place, identifier=identifier), remedy)
    if "timed out" in str(error):
        return LinkError(f"{place} does not answer", _REACH)
    return LinkError(f"The connection to the broker at {place} broke off ({error})", _BROKE_OFF)


def _causes(error: BaseException | None) -> Iterator[BaseException]:
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def _known(cause: BaseException, place: str, host: str) -> tuple[str, str] | None:
    if isinstance(cause, socket.gaierror):
        return f"There is no host {host}", "Correct the host under [mqtt], or check the network"
    if isinstance(cause, ssl.SSLCertVerificationError):
        return (
            f"The certificate of {place} is not trusted ({cause.verify_message})",
            "Name the authority that signed it as ca under [mqtt], and the host as it does",
        )
    if isinstance(cause, ssl.SSLError):
        return (
            f"{place} does not speak TLS as this machine does ({cause.args[-1]})",
            "Correct tls and port under [mqtt]; a broker may also want a certificate and key",
        )
    if isinstance(cause, TimeoutError):
        return f"{place} does not answer", _REACH
    number = cause.errno if isinstance(cause, OSError) else None
    sentence = _OF_THE_SYSTEM.get(number or 0)
    return (sentence.format(place=place), _REACH) if sentence else None


def _code(cause: BaseException) -> int:
    """Return the broker's reason code, 0 where there is none."""
    code = getattr(cause, "rc", None)
    return int(getattr(code, "value", 0) or 0)
