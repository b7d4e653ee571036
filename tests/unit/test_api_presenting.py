"""What the outside sees: grams and °C as numbers, times as RFC 3339."""

from api import presenting
from collector.alarm_events import AlarmRaised, Bounds, Unit
from collector.alarms import Alarm, AlarmState
from collector.conclusions import (
    Evidence,
    PhaseBegan,
    PhaseEnded,
    Source,
    WeighingAccepted,
    WeighingKind,
)
from collector.live import Shown
from collector.lot_record import PhaseRun
from collector.phases import Phase
from collector.priorities import Priority
from collector.readings import Channel, Quality, Reading, Role

AT_US = 1_795_600_443_250_000
AT = "2026-11-25T09:54:03.250Z"
MINUTE_US = 60_000_000


def raised(limit: Bounds, measured: int | None, unit: Unit) -> AlarmRaised:
    return AlarmRaised(
        at_us=AT_US,
        bench="slip",
        lot="2026-11-25-1",
        alarm="2026-11-25-1.1",
        rule="fill-grams",
        priority=Priority.MEDIUM,
        phase=Phase.POUR,
        pitcher=1,
        vessel=4,
        subject=None,
        limit=limit,
        measured=measured,
        unit=unit,
        message="Vessel 4 is light.",
        advice="Top it up.",
    )


def test_limits_and_measured_values_are_shown_in_their_unit() -> None:
    shown = presenting.alarm(Alarm(raised=raised(Bounds(118_000, 122_000), 114_500, "g")), AT_US)
    assert (shown.limit.low, shown.limit.high, shown.measured) == (118.0, 122.0, 114.5)
    assert (shown.unit, shown.state, shown.raised_at) == ("g", "active", AT)


def test_a_count_is_a_whole_number_not_thousandths() -> None:
    shown = presenting.alarm(Alarm(raised=raised(Bounds(12, None), 11, "count")), AT_US)
    assert (shown.limit.low, shown.limit.high, shown.measured) == (12, None, 11)


def test_an_alarm_without_a_measured_value_shows_null() -> None:
    shown = presenting.alarm(Alarm(raised=raised(Bounds(None, None), None, "count")), AT_US)
    assert shown.model_dump()["measured"] is None


def test_a_shelved_alarm_is_shelved_until_its_time_and_then_what_it_was() -> None:
    alarm = Alarm(
        raised=raised(Bounds(0, 1), 2, "g"),
        state=AlarmState.ACKNOWLEDGED,
        shelved_until_us=AT_US + MINUTE_US,
    )
    assert presenting.alarm(alarm, AT_US).state == "shelved"
    assert presenting.alarm(alarm, AT_US + MINUTE_US - 1).state == "shelved"
    later = presenting.alarm(alarm, AT_US + MINUTE_US)
    assert (later.state, later.shelved_until) == ("acknowledged", "2026-11-25T09:55:03.250Z")


def test_a_weighing_shows_grams_and_the_readings_it_rests_on() -> None:
    event = WeighingAccepted(
        at_us=AT_US + 1,
        bench="slip",
        lot="2026-11-25-1",
        kind=WeighingKind.FILL,
        pitcher=1,
        vessel=4,
        mass_mg=114_500,
        target_mg=120_000,
        tolerance_mg=2_000,
        evidence=Evidence("slip-scale", AT_US - MINUTE_US, AT_US, 31),
    )
    shown = presenting.weighing(event).model_dump(by_alias=True)
    assert (shown["grams"], shown["target"], shown["tolerance"]) == (114.5, 120.0, 2.0)
    assert shown["at"] == AT
    assert shown["evidence"] == {
        "channel": "slip-scale",
        "from": "2026-11-25T09:53:03.250Z",
        "to": AT,
        "readings": 31,
    }


def test_a_phase_that_goes_on_has_no_end_and_no_seconds() -> None:
    began = PhaseBegan(
        at_us=AT_US,
        bench="slip",
        lot="x",
        phase=Phase.STIR,
        pitcher=1,
        began_us=AT_US,
        source=Source.MARK,
    )
    shown = presenting.phase(began)
    assert (shown.phase, shown.began, shown.ended, shown.seconds) == ("stir", AT, None, None)


def test_an_interrupted_phase_shows_its_own_seconds_not_the_span() -> None:
    ended = PhaseEnded(
        at_us=AT_US,
        bench="slip",
        lot="x",
        phase=Phase.STIR,
        pitcher=1,
        began_us=AT_US - MINUTE_US,
        ended_us=AT_US,
        duration_us=41_260_000,
        source=Source.SCALE,
    )
    shown = presenting.phase(ended)
    assert (shown.seconds, shown.ended, shown.evidence) == (41.3, AT, "scale")


def test_a_reading_on_the_stream_has_unit_and_quality_in_words() -> None:
    channel = Channel("slip-pot", "slip", Role.POT, None)
    reading = Reading("slip-pot", AT_US, 82_125, Quality.SUSPECT)
    shown = presenting.reading(Shown(channel, reading, shown=82_000, skipped=3))
    assert shown == {
        "channel": "slip-pot",
        "instrument": "slip-pot",
        "bench": "slip",
        "role": "pot",
        "value": 82.125,
        "shown": 82.0,
        "unit": "degC",
        "quality": "suspect",
        "taken_at": AT,
        "t": AT_US / 1_000_000,
        "skipped": 3,
    }


def test_a_phase_shows_the_readings_in_which_the_scale_showed_it() -> None:
    seen = Evidence("slip-scale", AT_US - MINUTE_US, AT_US, 31)
    run = PhaseRun(
        phase=Phase.DRAW_WAX,
        pitcher=1,
        began_us=AT_US - MINUTE_US,
        source=Source.SCALE,
        rests_on=seen,
    )
    shown = presenting.phase(run).model_dump(by_alias=True)["rests_on"]
    assert (shown["channel"], shown["readings"]) == ("slip-scale", 31)
