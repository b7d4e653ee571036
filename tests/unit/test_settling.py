"""How long what was poured must rest before it counts as all of it."""

from dataclasses import dataclass

import msgspec
import pytest
from scale_steps import FILL, FRAGRANCE, WAX, addition_of, mg, plateau, targets_of, us

from collector.additions import Addition
from collector.conclusions import WeighingKind
from collector.expectations import Expectation
from collector.settling import counts, drawn, is_final, trifle_mg

TARGETS = {
    WAX: targets_of().wax(1),
    FRAGRANCE: targets_of().fragrance(mg(616.7)),
    FILL: targets_of().fill(),
}


@dataclass(frozen=True)
class Rest:
    """What rests, and for how long it must."""

    kind: WeighingKind
    share: float
    seconds: float | None  # None where it never counts
    first: bool = True
    trimmed: bool = False
    goes: int = 1
    tared: bool = False
    division_g: float = 0.1
    lost: int = 0

    def addition(self) -> Addition:
        grams = TARGETS[self.kind].target_mg * self.share / 1000 * max(1, self.lost)
        return msgspec.structs.replace(
            addition_of(self.kind, grams),
            trimmed=self.trimmed,
            goes=self.goes,
            tared=self.tared,
            lost=self.lost,
        )

    def is_final(self, seconds: float) -> bool:
        return is_final(
            self.addition(),
            plateau(0, 0, seconds),
            TARGETS[self.kind],
            mg(self.division_g),
            first=self.first,
        )


RESTS = [
    # on the mark: as long as the value needs
    Rest(WAX, 1.0, 1.6),
    Rest(WAX, 1.0, 1.6, division_g=1.0),
    Rest(WAX, 0.985, 1.6),
    Rest(FRAGRANCE, 1.0, 1.6),
    Rest(FILL, 1.0, 1.6),
    Rest(FILL, 1.0, 1.6, lost=2),
    # wax that is short: more may come, ladle by ladle
    Rest(WAX, 0.2, None),
    Rest(WAX, 0.5, 8.0),
    Rest(WAX, 0.5, 8.0, trimmed=True),
    Rest(WAX, 0.5, 12.0, tared=True),
    Rest(WAX, 0.9, 2.4),
    Rest(WAX, 0.9, 8.0, goes=3),
    Rest(WAX, 0.9, 2.4, goes=3, trimmed=True),
    Rest(WAX, 0.9, 4.9, division_g=1.0),
    # wax that is nearly all: the rest is about to be weighed in
    Rest(WAX, 0.96, 5.0),
    Rest(WAX, 0.96, 12.0, tared=True),
    Rest(WAX, 0.96, 2.4, trimmed=True),
    # too much: nobody waits to add more
    Rest(WAX, 1.1, 2.0),
    Rest(WAX, 1.1, 2.0, division_g=1.0),
    Rest(FRAGRANCE, 1.2, 2.0),
    # fragrance ends in drops
    Rest(FRAGRANCE, 0.1, None),
    Rest(FRAGRANCE, 0.8, 2.7),
    Rest(FRAGRANCE, 0.8, 5.2, division_g=1.0),
    Rest(FRAGRANCE, 0.8, 2.4, trimmed=True),
    # fills
    Rest(FILL, 0.2, None),
    Rest(FILL, 0.9, 2.4),
    Rest(FILL, 1.1, 2.4),
    Rest(FILL, 0.9, 2.4, division_g=1.0),
    Rest(FILL, 0.9, 2.4, lost=3),
    # told before: what changed is another word on it
    Rest(WAX, 1.0, 2.4, first=False),
    Rest(WAX, 0.5, 2.4, first=False),
    Rest(FRAGRANCE, 0.8, 2.4, first=False, division_g=1.0),
    Rest(FILL, 1.1, 2.4, first=False),
]


@pytest.mark.parametrize("rest", RESTS, ids=str)
def test_a_mass_is_final_after_its_rest_and_not_before(rest: Rest) -> None:
    if rest.seconds is None:
        assert not rest.is_final(60.0)
        return
    assert not rest.is_final(rest.seconds - 0.1)
    assert rest.is_final(rest.seconds)


def test_a_display_that_creeps_has_not_rested() -> None:
    crept = msgspec.structs.replace(plateau(220, 0, 10), still_us=us(9))
    fill = Rest(FILL, 1.0, None).addition()
    assert not is_final(fill, crept, TARGETS[FILL], mg(0.1), first=True)


@pytest.mark.parametrize(
    ("kind", "share", "enough"),
    [
        (WAX, 0.29, False),
        (WAX, 0.31, True),
        (FRAGRANCE, 0.19, False),
        (FRAGRANCE, 0.21, True),
        (FILL, 0.29, False),
        (FILL, 0.31, True),
    ],
)
def test_a_drip_or_a_hand_is_no_weighing(kind: WeighingKind, share: float, enough: bool) -> None:
    assert counts(Rest(kind, share, None).addition(), TARGETS[kind]) is enough


def test_each_of_several_lost_fills_must_be_enough() -> None:
    two_thin = msgspec.structs.replace(addition_of(FILL, 100.0), lost=2)
    assert not counts(two_thin, TARGETS[FILL])


def test_only_wax_is_drawn_in_parts() -> None:
    wax = Expectation(mg(600), mg(12))
    assert not drawn(addition_of(WAX, 470), wax)
    assert drawn(addition_of(WAX, 490), wax)
    assert drawn(addition_of(FILL, 100), TARGETS[FILL])


@pytest.mark.parametrize(
    ("rested_s", "division_g", "band_g", "trifle_g"),
    [
        (None, 0.1, 0.4, 0.4),  # nothing was told yet: the band
        (None, 1.0, 2.2, 2.2),
        (2.0, 0.1, 0.4, 0.15),  # fresh: the last drops are slow
        (2.0, 1.0, 2.2, 0.5),
        (40.0, 0.1, 0.4, 0.4),  # later it is the scale that drifts
        (40.0, 1.0, 2.2, 2.2),
    ],
)
def test_a_change_is_a_trifle_by_how_fresh_the_weighing_is(
    rested_s: float | None, division_g: float, band_g: float, trifle_g: float
) -> None:
    now = plateau(220, 90, 100)
    rested = None if rested_s is None else plateau(220, 50, 100 - rested_s)
    assert trifle_mg(rested, now, mg(division_g), mg(band_g)) == mg(trifle_g)
