"""Every error that pourkeep raises on purpose.

    PourkeepError
    ├── DocumentError      a config or recipe file that cannot be used
    ├── ConflictError      what was asked contradicts the state of the workshop
    ├── NotFoundError      a lot, recipe, alarm or instrument that is not there
    ├── PictureError       bytes that are no photograph that can be kept
    ├── LinkError          an instrument's port that cannot be opened or read
    ├── PackError          a SenML pack, or a record of one, that cannot be used
    ├── StoreError         the data folder cannot be used
    ├── RemoteStoreError   the scale-out history elsewhere cannot be used
    ├── BackupError        a backup cannot be made, or not be used
    └── NoticeError        a notice cannot be sent, or not to such an address

The docstring of each class is its default message.
"""

from collections.abc import Mapping, Sequence


class PourkeepError(Exception):
    """Something went wrong in pourkeep."""

    def __init__(self, message: str | None = None) -> None:
        super().__init__(message or (type(self).__doc__ or "").strip())

    @property
    def message(self) -> str:
        """The sentence for a person."""
        return str(self.args[0])


class DocumentError(PourkeepError):
    """A config or recipe cannot be used.

    `field` is the path of keys from the document's root; `line` counts from 1 and is None
    where the document did not come from a file. `place` is what a person calls the field, where
    that is not its path.
    """

    def __init__(
        self,
        source: str,
        field: Sequence[str | int],
        problem: str,
        line: int | None = None,
        place: str | None = None,
    ) -> None:
        self.source = source
        self.field = tuple(field)
        self.problem = problem
        self.line = line
        where = f"{source}:{line}" if line else source
        name = place or ".".join(str(part) for part in self.field)
        super().__init__(f"{where}: {name}: {problem}" if name else f"{where}: {problem}")


class ConflictError(PourkeepError):
    """What was asked contradicts the state of the workshop.

    `details` holds what a program needs to resolve it, for example the open lot's id: values
    that JSON can say.
    """

    def __init__(self, message: str, details: Mapping[str, object] | None = None) -> None:
        self.details = dict(details or {})
        super().__init__(message)


class NotFoundError(PourkeepError):
    """There is nothing by that name."""


class PictureError(PourkeepError):
    """These bytes are no photograph that can be kept."""


class LinkError(PourkeepError):
    """An instrument's port cannot be opened or read.

    `remedy` says what a person can do about it.
    """

    def __init__(self, reason: str, remedy: str) -> None:
        self.reason = reason
        self.remedy = remedy
        super().__init__(f"{reason}. {remedy}")


class PackError(PourkeepError):
    """A SenML pack cannot be used."""


class StoreError(PourkeepError):
    """The data folder cannot be used."""


class RemoteStoreError(PourkeepError):
    """The scale-out history elsewhere cannot be used."""


class BackupError(PourkeepError):
    """A backup cannot be made, or not be used."""


class NoticeError(PourkeepError):
    """A notice cannot be sent. The message holds no part of an address that is secret."""
