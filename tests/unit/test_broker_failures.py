"""What the client wraps into its own errors is told in sentences, with a remedy."""

import errno
import socket
import ssl
from collections.abc import Callable

import pytest

from collector.link.broker_failures import broker_failed
from collector.mqtt_config import MqttConfig

CONFIG = MqttConfig("broker.lan", 8883)


class Code:
    """A reason code as the client gives it (MQTT 5.0, section 2.4)."""

    def __init__(self, value: int) -> None:
        self.value = value


def refused(value: int) -> Exception:
    error = RuntimeError("refused")
    error.rc = Code(value)  # type: ignore[attr-defined]
    return error


def wrapped(cause: BaseException) -> Exception:
    """Hide what happened as the client does: behind an error raised from nothing."""
    error = RuntimeError("Disconnected")
    error.__context__ = cause
    error.__suppress_context__ = True
    return error


@pytest.mark.parametrize(
    ("cause", "reason"),
    [
        (socket.gaierror(-2, "unknown"), "There is no host broker.lan"),
        (
            ConnectionRefusedError(errno.ECONNREFUSED, "x"),
            "Nothing listens at broker.lan port 8883",
        ),
        (
            OSError(errno.EHOSTUNREACH, "x"),
            "There is no way to broker.lan port 8883 in this network",
        ),
        (TimeoutError("timed out"), "broker.lan port 8883 does not answer"),
        (ssl.SSLError(1, "x"), "broker.lan port 8883 does not speak TLS as this machine does"),
        (refused(0x86), "The broker at broker.lan port 8883 refuses this user or password"),
        (refused(0x87), "The broker at broker.lan port 8883 refuses this user or password"),
        (refused(0x8E), "Another program goes by the name pourkeep-hub at the broker"),
        (refused(0x80), "The connection to the broker at broker.lan port 8883 broke off"),
    ],
)
@pytest.mark.parametrize("hide", [lambda cause: cause, wrapped])
def test_each_failure_has_a_reason_and_a_remedy(
    cause: Exception, reason: str, hide: Callable[[Exception], Exception]
) -> None:
    error = broker_failed(hide(cause), CONFIG, "pourkeep-hub")
    assert error.reason.startswith(reason)
    assert error.remedy


def test_a_broker_that_takes_too_long_does_not_answer() -> None:
    error = broker_failed(RuntimeError("Operation timed out"), CONFIG, "pourkeep-hub")
    assert error.reason == "broker.lan port 8883 does not answer"
