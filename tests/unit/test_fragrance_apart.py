"""Fragrance weighed into a beaker: the journal says when it goes into the wax, if that is seen."""

import msgspec
import pytest
from test_bands import lot_record
from test_sim_habits import lot_with
from trial_desk import seconds
from trial_play import Play

from api.measured import scented_us
from collector.amends import amends
from collector.conclusions import (
    FragranceApart,
    PhaseBegan,
    PhaseWithdrawn,
    Source,
    WeighingKind,
    WeighingWithdrawn,
)
from collector.events import AnyDerived
from collector.lot_record import PhaseRun
from collector.phases import Phase
from collector.procedure import Where
from collector.scents_apart import scents_apart
from simulators.scenario import Habits

MOTION_S = 10
"""How long her hands take from the beaker to the wax, and the scale to rest before it."""

WHERE = Where(900, "quay", "1")


def heard(habits: Habits) -> tuple[list[FragranceApart], float | None]:
    """Play a lot; return what was told of it, and when the beaker was truly tipped in."""
    said: list[tuple[float, str]] = []
    play = Play(lot_with(habits), marks=False, tell=lambda at_s, what: said.append((at_s, what)))
    events = play.run(1, 0).events
    tipped_s = next((at_s for at_s, what in said if "tips it in" in what), None)
    return [event for event in events if isinstance(event, FragranceApart)], tipped_s


def apart(added_us: int | None = None, pitcher: int = 1) -> FragranceApart:
    return FragranceApart(at_us=5, bench="quay", lot="1", pitcher=pitcher, added_us=added_us)


def test_what_is_weighed_apart_is_told_and_then_when_it_went_into_the_wax() -> None:
    (weighed, tipped), tipped_s = heard(Habits(weighs_apart=True))
    assert (weighed.pitcher, weighed.added_us) == (1, None)
    assert tipped.pitcher == 1
    assert tipped.added_us is not None
    assert tipped_s is not None
    assert seconds(tipped.added_us) == pytest.approx(tipped_s, abs=MOTION_S)


def test_what_is_tipped_in_beside_the_scale_was_not_seen_to_go_in() -> None:
    (weighed,), _tipped_s = heard(Habits(weighs_apart=True, tips_in_on_scale=False))
    assert weighed.added_us is None


def test_fragrance_that_goes_straight_into_the_wax_needs_no_word() -> None:
    assert heard(Habits()) == ([], None)


# ---------------------------------------------------------------- the last word


def test_the_last_word_on_a_pitcher_holds() -> None:
    found = scents_apart([apart(), apart(70), apart(pitcher=2)])
    assert {pitcher: word.added_us for pitcher, word in found.items()} == {1: 70, 2: None}


@pytest.mark.parametrize(
    "withdrawn",
    [
        PhaseWithdrawn(at_us=6, bench="quay", lot="1", phase=Phase.ADD_FRAGRANCE, pitcher=1),
        WeighingWithdrawn(
            at_us=6, bench="quay", lot="1", kind=WeighingKind.FRAGRANCE, pitcher=1, vessel=None
        ),
    ],
    ids=["phase", "weighing"],
)
def test_what_was_no_fragrance_did_not_go_in(withdrawn: AnyDerived) -> None:
    assert scents_apart([apart(), apart(70), withdrawn]) == {}


def test_a_lot_shows_the_moment_it_went_in_not_when_it_was_weighed() -> None:
    run = PhaseRun(Phase.ADD_FRAGRANCE, 1, 40, Source.SCALE)
    straight = msgspec.structs.replace(lot_record(), phases=(run,))
    assert scented_us(straight, 1) == 40
    for word in (apart(70), apart()):
        record = msgspec.structs.replace(straight, apart=(word,))
        assert scented_us(record, 1) == word.added_us
    assert scented_us(straight, 2) is None


# ---------------------------------------------------------------- a mark taken back


def began(pitcher: int, began_us: int) -> PhaseBegan:
    return PhaseBegan(
        at_us=4,
        bench="quay",
        lot="1",
        phase=Phase.ADD_FRAGRANCE,
        pitcher=pitcher,
        began_us=began_us,
        source=Source.SCALE,
    )


@pytest.mark.parametrize(
    ("told", "would"),
    [
        pytest.param([began(1, 3), apart()], [began(1, 3), apart(70)], id="seen without the mark"),
        pytest.param(
            [began(1, 2), apart(70)], [began(1, 3), apart(70)], id="the phase is told anew"
        ),
        pytest.param([began(1, 3)], [began(1, 3), apart()], id="apart without the mark"),
    ],
)
def test_amends_leave_what_would_have_been_said(
    told: list[AnyDerived], would: list[AnyDerived]
) -> None:
    made = amends(WHERE, told, would, latched=())
    last = {pitcher: word.added_us for pitcher, word in scents_apart([*told, *made.events]).items()}
    assert last == {pitcher: word.added_us for pitcher, word in scents_apart(would).items()}


def test_amends_do_not_repeat_what_holds() -> None:
    told: list[AnyDerived] = [began(1, 3), apart(70)]
    assert amends(WHERE, told, told, latched=()).events == ()
