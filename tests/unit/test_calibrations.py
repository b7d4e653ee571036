"""Which calibration holds for which reading."""

from collector.calibrations import Calibrations
from collector.correction import UNITY_PPB, Correction, Point
from collector.events import decode, encode
from collector.readings import Quality, Reading
from collector.service_events import CalibrationWithdrawn, InstrumentCalibrated


def calibrated(at_us: int, offset: int, instrument: str = "jug") -> InstrumentCalibrated:
    return InstrumentCalibrated(
        at_us=at_us,
        bench="slip",
        lot=None,
        instrument=instrument,
        points=(Point(0, -offset, "ice water"),),
        correction=Correction(offset, UNITY_PPB),
        note="Ana",
    )


def withdrawn(at_us: int) -> CalibrationWithdrawn:
    return CalibrationWithdrawn(at_us=at_us, bench="slip", lot=None, instrument="jug", note="")


def value_of(book: Calibrations, taken_us: int, channel: str = "jug") -> int:
    return book.corrected(Reading(channel, taken_us, 60_000)).value


def test_without_a_calibration_a_reading_is_the_same_object() -> None:
    reading = Reading("jug", 5, 60_000)
    assert Calibrations().corrected(reading) is reading


def test_the_latest_holds_until_it_is_withdrawn() -> None:
    book = Calibrations()
    book.apply(calibrated(10, -400))
    book.apply(calibrated(20, -500))
    assert value_of(book, 21) == 59_500
    assert book.in_force("jug") == calibrated(20, -500)
    book.apply(withdrawn(30))
    assert value_of(book, 31) == 60_000
    assert book.in_force("jug") is None
    assert [event.at_us for event in book.of("jug")] == [10, 20, 30]


def test_it_concerns_its_own_instrument_alone() -> None:
    book = Calibrations()
    book.apply(calibrated(10, -400))
    assert value_of(book, 11, "pot") == 60_000
    assert book.of("pot") == ()


def test_a_value_that_is_none_stays_so() -> None:
    book = Calibrations()
    book.apply(calibrated(10, -400))
    assert book.corrected(Reading("jug", 11, 0, Quality.BAD)).value == 0


def test_what_was_under_way_is_corrected_by_what_held_when_it_was_taken() -> None:
    book = Calibrations(elsewhere=["jug"])
    book.apply(calibrated(10, -400))
    book.apply(calibrated(20, -500))
    book.apply(withdrawn(30))
    assert [value_of(book, at) for at in (9, 10, 19, 20, 29, 30)] == [
        *(60_000, 59_600, 59_600),
        *(59_500, 59_500, 60_000),
    ]


def test_what_is_forwarded_is_left_to_the_hub_whatever_was_calibrated_before() -> None:
    book = Calibrations(forwarded=True)
    book.apply(calibrated(10, -400))
    assert value_of(book, 11) == 60_000
    assert book.in_force("jug") is None
    assert [event.at_us for event in book.of("jug")] == [10]


def test_a_late_reading_stays_late() -> None:
    book = Calibrations()
    book.apply(calibrated(10, -400))
    assert book.corrected(Reading("jug", 5, 60_000, late=True)) == Reading(
        "jug", 5, 59_600, late=True
    )


def test_the_journal_gives_back_what_was_said() -> None:
    for event in (calibrated(10, -400), withdrawn(20)):
        assert decode(encode(event)) == event
