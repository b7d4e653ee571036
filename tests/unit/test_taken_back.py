"""What a lot says where the scale turned out to show something else than was told."""

from dataclasses import dataclass, field

from feed_script import SCALE, channels_of
from stranger_round import AMBER

from collector.alarm_book import AlarmBook
from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.conclusions import Evidence, PhaseWithdrawn, WeighingKind, WeighingWithdrawn
from collector.events import AnyDerived
from collector.expectations import Expectation
from collector.findings import Begun, Finding, Mistaken, Weighed
from collector.lot_events import LotOpened
from collector.lot_run import LotRun
from collector.phases import Phase
from collector.pot import Pot
from collector.procedure import Where
from collector.readings import Reading
from collector.recognizer import Recognizer

SECOND = 1_000_000
FILL, FRAGRANCE = WeighingKind.FILL, WeighingKind.FRAGRANCE


class Says(Recognizer):
    """A recognizer that finds what it is told to find."""

    findings: tuple[Finding, ...] = ()

    def read(self, reading: Reading) -> list[Finding]:  # noqa: ARG002 - it knows already
        return list(self.findings)


def evidence(second: int) -> Evidence:
    return Evidence(SCALE, (second - 3) * SECOND, second * SECOND, 15)


def begun(kind: WeighingKind, second: int, vessel: int | None = None) -> Begun:
    return Begun(kind, 1, vessel, second * SECOND, evidence(second))


def weighed(kind: WeighingKind, grams: int, second: int, vessel: int | None = None) -> Weighed:
    at_us, expected = second * SECOND, Expectation(220_000, 2_000)
    mass_mg = grams * 1000
    return Weighed(kind, 1, vessel, mass_mg, expected, at_us, at_us, evidence(second), 0)


@dataclass
class Lot:
    """A lot whose findings are given."""

    pot: Pot | None = None
    run: LotRun = field(init=False)
    events: list[AnyDerived] = field(default_factory=list)

    def __post_init__(self) -> None:
        opened = LotOpened(
            at_us=0,
            bench="creek",
            lot="1",
            recipe=AMBER,
            vessels=3,
            channels=channels_of(SCALE),
            pot=self.pot,
        )
        self.run = LotRun(opened, AlarmBook("1"), {})
        self.recognizer = Says(self.run.progress, SCALE)
        self.run.recognizer = self.recognizer

    def finds(self, second: int, *findings: Finding) -> list[AnyDerived]:
        self.recognizer.findings = findings
        reading = Reading(SCALE, second * SECOND, 0)
        new = self.run.weigh(Where(second * SECOND, "creek", "1"), reading)
        self.events += new
        return new


def test_a_pour_that_never_began_leaves_nothing_behind() -> None:
    lot = Lot()
    raised = lot.finds(100, begun(FILL, 100, 1), weighed(FILL, 150, 106, 1))
    rules = {event.rule for event in raised if isinstance(event, AlarmRaised)}
    assert rules == {"skipped-phase", "fill-grams"}
    back = lot.finds(110, Mistaken(FILL, 1, 1, weighed=True, only=True))
    assert [type(event) for event in back if not isinstance(event, AlarmCleared)] == [
        WeighingWithdrawn,
        PhaseWithdrawn,
    ]
    cleared = [event.alarm for event in back if isinstance(event, AlarmCleared)]
    assert len(cleared) == len([e for e in lot.events if isinstance(e, AlarmRaised)])
    assert Phase.POUR not in lot.run.procedure.runs


def test_a_vessel_that_never_was_leaves_the_pour_going_on() -> None:
    lot = Lot()
    lot.finds(100, begun(FILL, 100, 1), weighed(FILL, 220, 106, 1))
    lot.finds(120, begun(FILL, 120, 2), weighed(FILL, 150, 126, 2))
    back = lot.finds(130, Mistaken(FILL, 1, 2, weighed=True, only=False))
    assert not any(isinstance(event, PhaseWithdrawn) for event in back)
    assert [event.outcome for event in back if isinstance(event, AlarmCleared)] == [
        "taken back: the scale turned out to show something else"
    ]
    assert Phase.POUR in lot.run.procedure.runs


def test_without_the_fragrance_that_was_told_the_pour_says_that_it_is_missing() -> None:
    lot = Lot()
    lot.finds(40, begun(FRAGRANCE, 40), weighed(FRAGRANCE, 220, 46))
    lot.finds(100, begun(FILL, 100, 1))
    said = lot.finds(110, Mistaken(FRAGRANCE, 1, None, weighed=True, only=True))
    alarms = [(e.rule, e.subject) for e in said if isinstance(e, AlarmRaised)]
    assert ("skipped-phase", Phase.ADD_FRAGRANCE) in alarms


def test_without_the_fragrance_nothing_is_said_of_its_stir() -> None:
    lot = Lot()
    lot.finds(40, begun(FRAGRANCE, 40), weighed(FRAGRANCE, 220, 46))
    lot.finds(75, begun(FILL, 75, 1))
    stood = [e.alarm for e in lot.events if isinstance(e, AlarmRaised) and e.phase == Phase.STIR]
    said = lot.finds(110, Mistaken(FRAGRANCE, 1, None, weighed=True, only=True))
    assert stood
    assert set(stood) <= {event.alarm for event in said if isinstance(event, AlarmCleared)}


def test_wax_that_was_never_drawn_is_still_in_the_pot() -> None:
    lot = Lot(pot=Pot(wax_mg=5_000_000, others_mg=0))
    lot.finds(40, begun(WeighingKind.WAX, 40), weighed(WeighingKind.WAX, 600, 46))
    left = lot.run.pot.while_at(1)
    assert left is not None
    assert left.left_mg == 4_400_000
    lot.finds(60, Mistaken(WeighingKind.WAX, 1, None, weighed=True, only=True))
    left = lot.run.pot.while_at(1)
    assert left is not None
    assert left.left_mg == 5_000_000
