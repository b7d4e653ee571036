"""Calibrations of instruments over HTTP."""

import asyncio
from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Query

from api import calibration_presenting as presenting
from api import calibration_shapes as shapes
from api.dependencies import Running
from api.instrument_reading import check_forwarded, resolution, state_of
from collector.calibration import fit
from collector.correction import Point
from collector.errors import ConflictError, DocumentError
from collector.fixed_points import boiling_mdegc, pressure_at_pa
from collector.readings import ROLE_QUANTITY
from collector.service_events import CalibrationWithdrawn, InstrumentCalibrated

router = APIRouter(prefix="/api", tags=["calibrations"])

AnyNumber = Annotated[float | None, Query(allow_inf_nan=False)]


@router.get("/instruments/{name}/calibrations")
async def list_calibrations(workshop: Running, name: str) -> list[shapes.CalibrationKept]:
    """List all that was said of an instrument's calibration, the latest first."""
    state_of(workshop, name)
    return [presenting.entry(event) for event in reversed(workshop.pipeline.calibrations.of(name))]


@router.post("/instruments/{name}/calibrations/preview")
async def preview(workshop: Running, name: str, wanted: shapes.FitRequest) -> shapes.FitShown:
    """Show what points come to, without keeping it; 422 where they make no sense."""
    state = state_of(workshop, name)
    points, quantity = _points(wanted.points), ROLE_QUANTITY[state.instrument.role]
    finest = await asyncio.to_thread(resolution, workshop, state)
    found, kept = fit(points, quantity, finest), workshop.pipeline.calibrations.in_force(name)
    now = None if kept is None else kept.correction
    return presenting.fitted(found, points, quantity, finest, now)


@router.post("/instruments/{name}/calibrations", status_code=201)
async def calibrate(
    workshop: Running, name: str, wanted: shapes.CalibrationRequest
) -> shapes.CalibrationShown:
    """Correct an instrument from now on; 409 while its bench has a lot open, or a hub corrects."""
    state = state_of(workshop, name)
    check_forwarded(workshop)
    points, quantity = _points(wanted.points), ROLE_QUANTITY[state.instrument.role]
    found = fit(points, quantity, await asyncio.to_thread(resolution, workshop, state))

    def calibrated(at_us: int) -> InstrumentCalibrated:
        return InstrumentCalibrated(
            at_us=at_us,
            bench=state.instrument.bench,
            lot=None,
            instrument=name,
            points=points,
            correction=found.correction,
            note=wanted.note,
        )

    await workshop.pipeline.give(state.instrument.bench, calibrated)
    kept = workshop.pipeline.calibrations.in_force(name)
    if kept is None:
        raise ConflictError(f"The calibration of {name} was withdrawn in the same moment.")
    return presenting.in_force(kept, workshop.clock.now_us())


@router.post("/instruments/{name}/calibrations/withdraw")
async def withdraw(
    workshop: Running, name: str, wanted: shapes.WithdrawRequest
) -> list[shapes.CalibrationKept]:
    """Keep readings as shown again, and return the history; 409 where nothing is in force."""
    state = state_of(workshop, name)

    def withdrawn(at_us: int) -> CalibrationWithdrawn:
        if workshop.pipeline.calibrations.in_force(name) is None:
            raise ConflictError(f"{name} has no calibration that could be withdrawn.")
        return CalibrationWithdrawn(
            at_us=at_us,
            bench=state.instrument.bench,
            lot=None,
            instrument=name,
            note=wanted.note,
        )

    await workshop.pipeline.give(state.instrument.bench, withdrawn)
    return await list_calibrations(workshop, name)


@router.get("/boiling-water")
async def boiling_water(
    altitude: AnyNumber = None, pressure: AnyNumber = None
) -> shapes.BoilingWater:
    """Tell at how many degC water boils, by altitude in m or by the pressure on the spot in hPa.

    By altitude it is the standard atmosphere's pressure (ISO 2533); then IAPWS-IF97.
    """
    if (altitude is None) == (pressure is None):
        problem = "expected altitude=METERS or pressure=HPA, and not both"
        raise DocumentError("boiling water", [], problem)
    if pressure is not None:
        # Beyond what is sensible a number need not even be an integer's size.
        pressure_pa = round(100 * max(0.0, min(pressure, 10_000.0)))
    else:
        pressure_pa = pressure_at_pa(altitude or 0.0)
    return shapes.BoilingWater(
        temperature=boiling_mdegc(pressure_pa) / 1000, pressure_hpa=pressure_pa / 100
    )


def _points(given: Sequence[shapes.PointGiven]) -> tuple[Point, ...]:
    return tuple(
        Point(round(point.reference * 1000), round(point.shown * 1000), point.of) for point in given
    )
