"""A serial port, by pyserial: the only file that knows it."""

import errno
import fcntl
import os
import termios
from contextlib import suppress

import serial

from collector.errors import LinkError
from collector.readers.port_failures import opening_failed, reading_failed
from collector.readers.port_holder import busy_with, port_holder

_TIMEOUT_S = 0.2
"""Longer than any gap within a line: at 1200 baud, the slowest in use, a byte takes 8 ms."""

_TROUBLE = (OSError, termios.error, TypeError, ValueError)
"""What pyserial lets through when a port dies: SerialException is an OSError, termios.error is
not; TypeError comes where it has lost its descriptor; ValueError from a rate that the port does
not do, and from select where the process has more than 1024 files open."""

_BUSY = {errno.EBUSY, errno.EAGAIN}


class SerialPort:
    """A tty with 8 data bits, no parity, 1 stop bit; a symlink is followed at each opening."""

    def __init__(self, path: str, baud: int) -> None:
        self._path = path
        self._baud = baud
        self._serial: serial.Serial | None = None

    def open(self) -> None:
        """Open it for this program alone. Raises LinkError."""
        try:
            self._serial = serial.Serial(self._path, self._baud, timeout=_TIMEOUT_S, exclusive=True)
            # The lock binds only those who ask for it; this keeps out the others, but not root.
            fcntl.ioctl(self._serial.fileno(), termios.TIOCEXCL)
        except _TROUBLE as error:
            raise self._opening_failed(error) from error

    def read(self) -> bytes:
        """Return what has arrived, waiting at most 0.2 s. Raises LinkError."""
        if self._serial is None:
            raise LinkError(f"{self._path} is not open", "Restart the service")
        try:
            return bytes(self._serial.read(max(1, self._serial.in_waiting)))
        except _TROUBLE as error:
            holder = port_holder(self._path)
            present = os.access(self._path, os.F_OK)
            raise reading_failed(self._path, present=present, holder=holder) from error

    def close(self) -> None:
        """Close it, whatever state it is in."""
        port, self._serial = self._serial, None
        if port is None:
            return
        with suppress(*_TROUBLE):  # a dead port has nothing to give back
            # Another program may hold the tty open: then the mark would outlive our closing.
            fcntl.ioctl(port.fileno(), termios.TIOCNXCL)
        with suppress(*_TROUBLE):
            port.close()

    def _opening_failed(self, error: Exception) -> LinkError:
        number = _errno(error)
        return opening_failed(
            self._path,
            number,
            system=str(error),
            baud=self._baud,
            holder=busy_with(self._path) if number in _BUSY else None,
        )


def _errno(error: BaseException) -> int | None:
    """Return the system's errno behind an error, or None.

    pyserial puts the words of a termios.error into a SerialException without its number, and
    makes a ValueError of a rate that the port refuses.
    """
    if isinstance(error, OSError) and error.errno is not None:
        return error.errno
    if isinstance(error, termios.error):
        return int(error.args[0])
    if error.__context__ is not None:
        return _errno(error.__context__)
    return errno.EINVAL if isinstance(error, ValueError) else None
