"""What every router needs of the running service."""

from typing import Annotated, cast

from fastapi import Depends, Request

from collector.errors import NotFoundError
from collector.workshop import Workshop


def workshop_of(request: Request) -> Workshop:
    """Return the workshop that this application serves."""
    return cast("Workshop", request.app.state.workshop)


Running = Annotated[Workshop, Depends(workshop_of)]


def check_bench(workshop: Workshop, bench: str) -> None:
    """Raise NotFoundError where the workshop has no such bench."""
    if bench not in workshop.pipeline.benches:
        known = ", ".join(workshop.pipeline.benches)
        raise NotFoundError(f"There is no bench {bench!r}; this workshop has {known}.")
