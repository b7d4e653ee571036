"""The band of good lots as the outside sees it."""

from pydantic import BaseModel

from api.presenting import US_PER_S, thousandths
from collector.band import Band
from collector.bands import laid_on
from collector.lot_record import LotRecord


class BandStretch(BaseModel):
    """The band after one anchor; `t` in seconds since 1970, `low` and `high` in °C."""

    anchor: str
    t: list[float]
    low: list[float]
    high: list[float]


class BandShown(BaseModel):
    """The band of good lots on a lot's own clock, and the lots that it was made of."""

    lots: list[str]
    stretches: list[BandStretch]


def band_on(band: Band, record: LotRecord) -> BandShown:
    """Show a band on a lot's own clock."""
    return BandShown(
        lots=list(band.lots),
        stretches=[
            BandStretch(
                anchor=laid.anchor.value,
                t=[at_us / US_PER_S for at_us in laid.times_us],
                low=[thousandths(value) for value in laid.low_mdegc],
                high=[thousandths(value) for value in laid.high_mdegc],
            )
            for laid in laid_on(band, record)
        ],
    )
