"""Sentences for the ways in which a port fails, and what a person can do about each."""

import errno

from collector.errors import LinkError

_PLUG_IN = "Plug it in and switch it on, or correct the port in the config"
_JOIN_GROUP = (
    "Add its user to the port's group (on most systems: sudo usermod -aG dialout $USER),"
    " then log in anew or restart the service"
)

_OPENING = {
    errno.ENOENT: ("There is no {port}", _PLUG_IN),
    errno.ENODEV: ("Nothing is connected at {port}", _PLUG_IN),
    errno.ENXIO: ("Nothing is connected at {port}", _PLUG_IN),
    errno.EIO: ("{port} does not answer", "Unplug the instrument and plug it in again"),
    errno.EACCES: (
        "This program may not open {port}",
        _JOIN_GROUP,
    ),
    errno.EBUSY: (
        "{port} is in use by {holder}",
        "Close what else uses the port: each scale needs one of its own",
    ),
    errno.ENOTTY: ("{port} is not a serial port", "Correct the port in the config"),
    errno.EISDIR: ("{port} is a folder, not a port", "Correct the port in the config"),
    errno.EINVAL: ("{port} does not do {baud} baud", "Set the baud of the scale's manual"),
}
_SAME = {errno.EPERM: errno.EACCES, errno.EAGAIN: errno.EBUSY, errno.ENOTDIR: errno.ENOENT}

_OTHER = ("{port} cannot be opened ({system})", "Unplug the instrument and plug it in again")


def opening_failed(
    port: str, number: int | None, *, system: str, baud: int, holder: str | None
) -> LinkError:
    """Return the error for a port that could not be opened.

    `number` is the system's errno, `system` its own words; `holder` names the program that has
    the port open, None if that is not known.
    """
    known = number if number is not None else 0
    reason, remedy = _OPENING.get(_SAME.get(known, known), _OTHER)
    facts = {"port": port, "system": system, "baud": baud, "holder": holder or "another program"}
    return LinkError(reason.format(**facts), remedy)


def reading_failed(port: str, *, present: bool, holder: str | None) -> LinkError:
    """Return the error for a port that failed while it was read.

    `present` says whether it is still there: then somebody else may be taking its bytes.
    """
    if not present:
        return LinkError(f"{port} was unplugged or switched off", "Plug it in and switch it on")
    if holder is not None:
        return LinkError(f"{port} is also read by {holder}", "Close that program")
    return LinkError(f"{port} stopped answering", "Check its cable, plug and power")
