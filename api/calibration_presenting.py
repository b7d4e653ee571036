"""Calibrations in the shapes that the outside sees."""

from collections.abc import Sequence

from api import calibration_shapes as shapes
from api.instants import instant
from api.presenting import thousandths_or_none
from collector.calibration import OLD_US, Fit
from collector.calibrations import Calibrating
from collector.correction import UNITY_PPB, Correction, Point
from collector.readings import Quantity
from collector.service_events import InstrumentCalibrated
from collector.units import UNIT_OF

DAY_US = 86_400_000_000

EXAMPLES = {
    Quantity.TEMPERATURE: (20_000, 60_000, 80_000),
    Quantity.MASS: (50_000, 220_000, 1_000_000),
}
"""Values of a pour day that a person is shown the effect on: room, pour and add; fragrance, a
vessel and a pitcher."""


def line(correction: Correction) -> shapes.LineShown:
    """Show a correction."""
    return shapes.LineShown(**_line(correction))


def in_force(kept: InstrumentCalibrated, now_us: int) -> shapes.CalibrationShown:
    """Show the calibration that holds."""
    age_us = max(0, now_us - kept.at_us)
    return shapes.CalibrationShown(
        **_line(kept.correction),
        at=instant(kept.at_us),
        points=[_point(point) for point in kept.points],
        note=kept.note,
        age_days=age_us // DAY_US,
        due=age_us > OLD_US,
    )


def entry(event: Calibrating) -> shapes.CalibrationKept:
    """Show an entry of the history."""
    kept = event if isinstance(event, InstrumentCalibrated) else None
    return shapes.CalibrationKept(
        at=instant(event.at_us),
        withdrawn=kept is None,
        line=None if kept is None else line(kept.correction),
        points=[] if kept is None else [_point(point) for point in kept.points],
        note=event.note,
    )


def fitted(
    fit: Fit,
    points: Sequence[Point],
    quantity: Quantity,
    resolution: int | None,
    now: Correction | None,
) -> shapes.FitShown:
    """Show what points come to; `now` is the correction in force."""
    return shapes.FitShown(
        **_line(fit.correction),
        unit=UNIT_OF[quantity],
        resolution=thousandths_or_none(resolution),
        points=[
            shapes.PointFitted(
                reference=point.reference / 1000,
                shown=point.shown / 1000,
                of=point.of,
                corrected=(point.reference - residual) / 1000,
                residual=residual / 1000,
            )
            for point, residual in zip(points, fit.residuals, strict=True)
        ],
        examples=[
            shapes.Example(
                shown=shown / 1000,
                now=(shown if now is None else now.apply(shown)) / 1000,
                then=fit.correction.apply(shown) / 1000,
            )
            for shown in EXAMPLES[quantity]
        ],
        remarks=[remark.value for remark in fit.remarks],
    )


def _line(correction: Correction) -> dict[str, float]:
    return {
        "offset": correction.offset / 1000,
        "gain": correction.gain_ppb / UNITY_PPB,
        "step": correction.step / 1000,
    }


def _point(point: Point) -> shapes.PointShown:
    return shapes.PointShown(
        reference=point.reference / 1000, shown=point.shown / 1000, of=point.of
    )
