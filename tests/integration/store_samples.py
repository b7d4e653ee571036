"""Readings and events for the store's tests: a lot of our own invention."""

import msgspec

from collector.alarm_events import AlarmRaised, Bounds
from collector.answer_events import AlarmAcknowledged
from collector.conclusions import Evidence, WeighingAccepted, WeighingKind
from collector.lot_events import LotClosed, LotOpened, RecipeKept
from collector.priorities import Priority
from collector.readings import Reading
from collector.recipes import FragranceSpec, LoadOf, Recipe, VesselSpec, WaxSpec

BENCH = "mole"
LOT = "2026-11-25-1"
SCALE = "mole-scale"
START_US = 1_795_600_000_000_000

RECIPE = Recipe(
    name="Low tide, 180 g tin",
    vessel=VesselSpec(fill_mg=180_000, tolerance_mg=2_000),
    wax=WaxSpec(name="soy blend"),
    fragrance=FragranceSpec(name="kelp", load_ppm=70_000, load_of=LoadOf.WAX),
)
DOCUMENT = b'{"name": "Low tide, 180 g tin", "vessel": {"fill": "180 g"}}'


def recipe_kept(at_us: int = START_US, document: bytes = DOCUMENT) -> RecipeKept:
    raw = msgspec.Raw(document)
    return RecipeKept(at_us=at_us, bench=None, lot=None, recipe=RECIPE, document=raw)


def lot_opened(lot: str = LOT, at_us: int = START_US, bench: str = BENCH) -> LotOpened:
    return LotOpened(at_us=at_us, bench=bench, lot=lot, recipe=RECIPE, vessels=6, channels=())


def lot_closed(lot: str = LOT, at_us: int = START_US + 9_000_000) -> LotClosed:
    return LotClosed(at_us=at_us, bench=BENCH, lot=lot)


def scale_readings(first_us: int = START_US, count: int = 5, channel: str = SCALE) -> list[Reading]:
    return [Reading(channel, first_us + n * 1000, 180_000 + n) for n in range(count)]


def weighing(readings: list[Reading], lot: str = LOT) -> WeighingAccepted:
    evidence = Evidence(
        channel=readings[0].channel,
        from_us=readings[0].taken_us,
        to_us=readings[-1].taken_us,
        readings=len(readings),
    )
    return WeighingAccepted(
        at_us=readings[-1].taken_us,
        bench=BENCH,
        lot=lot,
        kind=WeighingKind.FILL,
        pitcher=1,
        vessel=1,
        mass_mg=180_002,
        target_mg=180_000,
        tolerance_mg=2_000,
        evidence=evidence,
    )


def alarm_raised(alarm: str, lot: str | None = LOT, at_us: int = START_US + 1) -> AlarmRaised:
    return AlarmRaised(
        at_us=at_us,
        bench=BENCH,
        lot=lot,
        alarm=alarm,
        rule="fill-grams",
        priority=Priority.MEDIUM,
        phase=None,
        pitcher=1,
        vessel=1,
        subject=SCALE,
        limit=Bounds(178_000, 182_000),
        measured=171_500,
        unit="g",
        message="Vessel 1 is 6.5 g light.",
        advice="Fill up to 180 g.",
    )


def alarm_acknowledged(alarm: str, at_us: int = START_US + 2) -> AlarmAcknowledged:
    return AlarmAcknowledged(at_us=at_us, bench=BENCH, lot=LOT, alarm=alarm, note="seen")
