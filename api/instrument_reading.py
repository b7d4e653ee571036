"""One instrument with all that the running workshop knows of it."""

from collections.abc import Iterator

import msgspec

from api import calibration_presenting
from api.instants import instant
from api.instrument_shapes import Fact, InstrumentInFull, InstrumentShown, ReadingShown
from api.presenting import QUALITY, thousandths_or_none
from collector.calibrations import correction_at
from collector.errors import ConflictError, NotFoundError
from collector.instrument_config import Link
from collector.instrument_state import InstrumentState
from collector.readings import ROLE_QUANTITY, Quality
from collector.resolution import resolution_of
from collector.units import UNIT_OF, from_fixed
from collector.workshop import Workshop

LOOK_BACK_US = 3_600_000_000
"""The readings of an hour show how fine a display is."""


def state_of(workshop: Workshop, name: str) -> InstrumentState:
    """Return how an instrument does. Raises NotFoundError."""
    state = workshop.pipeline.instruments.get(name)
    if state is None:
        known = ", ".join(workshop.pipeline.instruments)
        raise NotFoundError(f"There is no instrument {name!r}; this workshop has {known}.")
    return state.at(workshop.clock.now_us())


def instrument(workshop: Workshop, state: InstrumentState) -> InstrumentShown:
    """Show an instrument as it stands."""
    name, pipeline = state.instrument.name, workshop.pipeline
    not_kept = workshop.not_kept(name)
    rejected = {why: n for why, n in workshop.rejected(name).items() if why not in not_kept}
    per_second = pipeline.seen.per_second(name)
    calibrated = pipeline.calibrations.in_force(name)
    now_us, speed = workshop.clock.now_us(), workshop.clock.speed
    return InstrumentShown(
        name=name,
        bench=state.instrument.bench,
        role=state.instrument.role,
        kind=state.instrument.kind,
        state=state.state.value,
        reason=state.reason,
        remedy=state.remedy,
        last=_last(state),
        rejected=rejected,
        not_kept=not_kept,
        readings=pipeline.batch.tally.readings[name],
        per_second=None if per_second is None else round(per_second / speed, 2),
        calibration=calibrated and calibration_presenting.in_force(calibrated, now_us),
    )


def instrument_in_full(
    workshop: Workshop, state: InstrumentState, finest: int | None
) -> InstrumentInFull:
    """Show an instrument with how it is reached and its calibrations; `finest` is its step."""
    config, history = state.instrument, workshop.pipeline.calibrations.of(state.instrument.name)
    silent_us = config.silent_after_us
    return InstrumentInFull(
        **instrument(workshop, state).model_dump(),
        connection=list(_facts(config.link)),
        silent_after=None if silent_us is None else silent_us / 1e6,
        resolution=thousandths_or_none(finest),
        calibrations=[calibration_presenting.entry(event) for event in reversed(history)],
        not_now=not_now(workshop, state),
    )


def resolution(workshop: Workshop, state: InstrumentState) -> int | None:
    """Return the smallest step of a display by its latest readings, 0.001; reads the store."""
    name, now_us = state.instrument.name, workshop.clock.now_us()
    span = workshop.history.readings(name, now_us - LOOK_BACK_US, now_us)
    span = span.where(span.qualities < Quality.BAD)
    told = workshop.pipeline.calibrations.of(name)
    shown = (
        value if correction is None else correction.shown_of(value)
        for taken_us, value in zip(span.times.tolist(), span.values.tolist(), strict=True)
        for correction in [correction_at(told, taken_us)]
    )
    return resolution_of(shown, ROLE_QUANTITY[state.instrument.role])


def not_now(workshop: Workshop, state: InstrumentState) -> str | None:
    """Return why an instrument cannot be calibrated at the moment, None where it can."""
    try:
        check_forwarded(workshop)
        workshop.pipeline.benches[state.instrument.bench].check_calibrates(state.instrument.name)
    except ConflictError as refusal:
        return refusal.message
    return None


def check_forwarded(workshop: Workshop) -> None:
    """Raise ConflictError where a hub corrects the readings: twice would be once too often."""
    mqtt = workshop.config.mqtt
    if mqtt is not None and mqtt.forward:
        raise ConflictError(
            "This bench forwards its readings to a hub as they are shown: calibrate its"
            " instruments there, or they would be corrected twice."
        )


def _last(state: InstrumentState) -> ReadingShown | None:
    if state.last is None:
        return None
    quantity = ROLE_QUANTITY[state.instrument.role]
    return ReadingShown(
        value=from_fixed(state.last.value, quantity),
        unit=UNIT_OF[quantity],
        quality=QUALITY[state.last.quality],
        taken_at=instant(state.last.taken_us),
    )


def _facts(link: Link) -> Iterator[Fact]:
    """Give how an instrument is reached, in the words of workshop.toml."""
    keys = msgspec.structs.asdict(link)
    every_us = keys.pop("every_us", None)
    for what, value in keys.items():
        if value is not None:
            yield Fact(what=what, value=str(value))
    if every_us is not None:
        yield Fact(what="every", value=f"{every_us / 1e6:g} s")
