"""What must come of a stranger's lot: the masses that went in, and the planted deviations."""

from collections import Counter

from feed_script import Found, Instrument, Script
from stranger_round import Plan, Round
from stranger_styles import Style, work

LATEST_US = 3_000_000
NEXT_MOVE_US = 7_000_000
"""The same where only the next move tells two explanations apart."""

EVIDENCE = {
    "wax-grams": "wax",
    "fragrance-grams": "fragrance",
    "fragrance-temperature": "scenting",
    "stir-duration": "stirred",
    "skipped-phase": "pouring",
    "pour-temperature": "pouring",
    "fill-grams": "fill",
    "phase-order": "early",
}


def check(
    style: Style,
    plan: Plan,
    expected: list[Found],
    instrument: Instrument,
    latest_us: int = LATEST_US,
) -> Script:
    """Work a lot in some style and compare it with what was planted."""
    script = Script(instrument)
    now = work(script, style, plan)
    check_deviations(script, expected, latest_us)
    check_weighings(script, now)
    return script


def check_weighings(script: Script, now: Round) -> None:
    """Within 0.2 g or one division; a restless or slow display may cost half of one more."""
    scale = script.instrument
    worse = bool(scale.noise_divisions or scale.lag_s)
    within_g = max(0.3 if worse else 0.2, scale.division_g * (1.5 if worse else 1.0))
    weighed = script.weighings()
    assert weighed.keys() == now.weighed_g.keys()
    for key, grams in now.weighed_g.items():
        assert abs(weighed[key] - grams) <= within_g, key


def check_deviations(script: Script, expected: list[Found], latest_us: int = LATEST_US) -> None:
    """Nothing missing, nothing extra, and nothing later than `latest_us` after its evidence."""
    assert script.found() == Counter(expected)
    for alarm in script.deviations():
        left_out = alarm.rule == "skipped-phase" and alarm.phase == "pour"
        what = "close" if left_out else EVIDENCE[alarm.rule]
        pitcher = 0 if left_out else alarm.pitcher or 0
        if alarm.rule == "stir-duration" and "at most" in alarm.message:
            what = "pouring"
        # After five times its lag a slow display is within a hundredth of where it goes.
        slow_us = round(5 * script.instrument.lag_s * 1_000_000)
        open_us = script.evidence_us[what, pitcher, alarm.vessel] + slow_us
        assert alarm.at_us - open_us <= latest_us, (alarm.rule, (alarm.at_us - open_us) / 1e6)
