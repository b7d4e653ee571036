"""A span of time as a caller asks for it."""

from http import HTTPStatus
from typing import Annotated, NamedTuple

from fastapi import Depends, HTTPException, Query
from pydantic import AwareDatetime

from api.instants import microseconds

From = Annotated[AwareDatetime | None, Query(alias="from")]
To = Annotated[AwareDatetime | None, Query()]


def check_order(from_us: int, to_us: int) -> None:
    """Refuse a span that ends before it has begun (UTC microseconds)."""
    if from_us >= to_us:
        raise HTTPException(
            HTTPStatus.UNPROCESSABLE_ENTITY, "query.from: it has to be earlier than to."
        )


class AskedSpan(NamedTuple):
    """The ends that a caller named; UTC microseconds, None where an end was left out."""

    from_us: int | None
    to_us: int | None

    def within(self, from_us: int, to_us: int) -> tuple[int, int]:
        """Return the span with its open ends at those of another; refuses one that is no span."""
        asked = (
            from_us if self.from_us is None else self.from_us,
            to_us if self.to_us is None else self.to_us,
        )
        if self != (None, None):
            check_order(*asked)
        return asked


def _asked(from_: From = None, to: To = None) -> AskedSpan:
    ends = (None if end is None else microseconds(end) for end in (from_, to))
    return AskedSpan(*ends)


Asked = Annotated[AskedSpan, Depends(_asked)]
