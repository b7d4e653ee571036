"""An alarm on the broker says what the same alarm says over HTTP."""

import json

import pytest
from alarm_samples import raised

from api import presenting
from collector.alarm_document import alarm_document
from collector.alarm_events import AlarmRaised, Bounds
from collector.alarms import Alarm, AlarmState
from collector.phases import Phase
from collector.priorities import Priority

AT_US = 1_795_600_443_250_000
COUNTED = AlarmRaised(
    at_us=AT_US, bench="creek", lot=None, alarm="1.2", rule="skipped-phase",
    priority=Priority.MEDIUM, phase=Phase.STIR, pitcher=1, vessel=None, subject=None,
    limit=Bounds(12, None), measured=11, unit="count", message="Not all.", advice="Fill them.",
)  # fmt: skip


@pytest.mark.parametrize(
    "alarm",
    [
        Alarm(raised=raised(at_us=AT_US)),
        Alarm(raised=COUNTED),
        Alarm(
            raised=raised(at_us=AT_US, latched=True),
            state=AlarmState.LATCHED_SEEN,
            cleared_us=AT_US + 1_000_000,
            outcome="back to 92.0 °C",
            acknowledged_us=AT_US + 2_000_000,
            note="seen",
            shelved_until_us=AT_US + 9_000_000,
            shelved_why="later",
        ),
        Alarm(raised=raised(), suppressed_by="1.9"),
        Alarm(raised=raised(), out_of_service="under repair"),
        Alarm(raised=raised(), state=AlarmState.ENDED, folded_into="1.3"),
    ],
)
def test_keys_and_values_are_those_of_http(alarm: Alarm) -> None:
    shown = presenting.alarm(alarm, AT_US + 3_000_000).model_dump(mode="json")
    assert json.loads(alarm_document(alarm, AT_US + 3_000_000)) == shown
