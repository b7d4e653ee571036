"""Notices as they are shown over HTTP."""

from api.instants import instant, instant_or_none
from api.notice_shapes import NoticesShown, NoticeTargetShown, NoticeTestShown, QuietShown
from collector.notice_rules import NoticeRules
from collector.notices.post import NoticePost
from collector.notices.state import LatestTest, TargetState

US_PER_S = 1_000_000

NONE = NoticesShown(
    configured=False,
    targets=[],
    from_priority=None,
    fold_seconds=None,
    repeat_seconds=None,
    quiet=None,
    next_test_at=None,
    gathered=0,
    held=[],
)
"""What is shown where nobody is told anything."""


def notices(post: NoticePost, now_us: int) -> NoticesShown:
    """Show how the notices stand at a time."""
    rules = post.rules
    return NoticesShown(
        configured=True,
        targets=[_target(state) for state in post.targets],
        from_priority=rules.from_priority.value,
        fold_seconds=rules.fold_us / US_PER_S,
        repeat_seconds=None if rules.repeat_us is None else rules.repeat_us / US_PER_S,
        quiet=_quiet(rules, now_us),
        next_test_at=instant_or_none(rules.next_test_us(now_us)),
        gathered=len(post.gathered),
        held=[alarm.raised.alarm for alarm in post.held],
    )


def _target(state: TargetState) -> NoticeTargetShown:
    return NoticeTargetShown(
        target=state.target,
        working=state.working,
        reason=state.reason,
        trouble_since=instant_or_none(state.trouble_us),
        waiting=state.waiting,
        sent=state.sent,
        failed=state.failed,
        lost=state.lost,
        last_sent_at=instant_or_none(state.sent_us),
        last_failed_at=instant_or_none(state.failed_us),
        last_failure=state.failure,
        test=None if state.test is None else _test(state.test),
    )


def _test(test: LatestTest) -> NoticeTestShown:
    return NoticeTestShown(outcome=test.outcome.value, at=instant(test.at_us), reason=test.reason)


def _quiet(rules: NoticeRules, now_us: int) -> QuietShown | None:
    if rules.quiet is None:
        return None
    return QuietShown(
        begin=str(rules.quiet.begin),
        end=str(rules.quiet.end),
        lets_high_through=rules.high_passes,
        now=rules.quiet_at(now_us),
        until=instant_or_none(rules.quiet_until_us(now_us)),
    )
