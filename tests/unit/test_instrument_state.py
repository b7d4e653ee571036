from collector.instrument_config import InstrumentConfig, Manual
from collector.instrument_state import InstrumentState, LinkState
from collector.readings import Quality, Reading, Role

PATIENCE_US = 5_000_000
PROBE = InstrumentConfig("slip-jug", "slip", Role.PITCHER, Manual(), PATIENCE_US)
TYPED_IN = InstrumentConfig("slip-jug", "slip", Role.PITCHER, Manual(), None)


def reading(taken_us: int, quality: Quality = Quality.GOOD) -> Reading:
    return Reading("slip-jug", taken_us, 82_000, quality)


def test_an_instrument_waits_until_its_first_reading() -> None:
    state = InstrumentState(PROBE)
    assert state.state is LinkState.WAITING
    heard = state.heard(reading(1))
    assert (heard.state, heard.last) == (LinkState.READING, reading(1))


def test_a_lost_port_says_why_and_keeps_the_last_reading() -> None:
    lost = InstrumentState(PROBE).heard(reading(1)).lost("gone", "Plug it in")
    assert (lost.state, lost.reason, lost.remedy) == (LinkState.LOST, "gone", "Plug it in")
    assert lost.last == reading(1)


def test_a_port_that_opens_again_waits_for_its_reading_without_a_reason() -> None:
    opened = InstrumentState(PROBE).lost("gone", "Plug it in").opened()
    assert (opened.state, opened.reason, opened.remedy) == (LinkState.WAITING, None, None)


def test_a_reading_ends_a_loss() -> None:
    heard = InstrumentState(PROBE).lost("gone", "Plug it in").heard(reading(2))
    assert (heard.state, heard.reason, heard.remedy) == (LinkState.READING, None, None)


def test_a_reading_without_a_number_changes_nothing_but_the_last() -> None:
    bad = reading(3, Quality.BAD)
    lost = InstrumentState(PROBE).lost("gone", "Plug it in").heard(bad)
    assert (lost.state, lost.last) == (LinkState.LOST, bad)


def test_silence_begins_exactly_when_patience_ends() -> None:
    heard = InstrumentState(PROBE).heard(reading(1_000))
    assert heard.at(1_000 + PATIENCE_US - 1).state is LinkState.READING
    silent = heard.at(1_000 + PATIENCE_US)
    assert silent.state is LinkState.SILENT
    assert silent.reason
    assert silent.remedy


def test_nobody_waits_for_a_reading_that_a_person_types() -> None:
    heard = InstrumentState(TYPED_IN).heard(reading(1))
    assert heard.at(10**15) is heard


def test_what_waits_or_is_lost_is_not_silent_too() -> None:
    for state in (InstrumentState(PROBE), InstrumentState(PROBE).lost("gone", "Plug it in")):
        assert state.at(10**15) is state
