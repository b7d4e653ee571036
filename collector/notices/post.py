"""The companion that tells alarms beyond the room; nothing of it ever slows the bench."""

import asyncio
from collections.abc import Callable, Sequence

from collector.alarms import Alarm, AlarmState
from collector.clock import Clock
from collector.messenger import Messenger, labels
from collector.notice_rules import NoticeRules
from collector.notices import words
from collector.notices.box import Box
from collector.notices.carrier import Sends
from collector.notices.message import Kind, Message
from collector.notices.plan import NoticePlan
from collector.notices.state import TargetState
from collector.notices_config import NoticesConfig

LOOK_S = 1.0
"""How often it looks at what stands."""


class NoticePost:
    """Tells what the plan says to each target. `standing` gives the alarms that have not ended."""

    name = "notices"

    def __init__(
        self,
        workshop: str,
        rules: NoticeRules,
        targets: Sequence[tuple[str, Sends]],
        standing: Callable[[], list[Alarm]],
        clock: Clock,
    ) -> None:
        self.rules = rules
        self._workshop = workshop
        self._standing = standing
        self._clock = clock
        self._plan = NoticePlan(rules)
        self._boxes = [Box(sends, name, clock, rules.zone) for name, sends in targets]
        self._looked_us = clock.now_us()

    @property
    def targets(self) -> list[TargetState]:
        """How each target stands."""
        return [box.state for box in self._boxes]

    @property
    def held(self) -> tuple[Alarm, ...]:
        """What waits for the end of the quiet hours."""
        return self._plan.held

    def test(self) -> None:
        """Let every target be tried at once; its state tells what comes of it."""
        self._post(self._test_message(Kind.TEST))

    @property
    def gathered(self) -> tuple[Alarm, ...]:
        """What is told within moments."""
        return self._plan.gathered

    async def tested(self) -> None:
        """Wait until no target has a test under way."""
        for box in self._boxes:
            await box.tested.wait()

    async def run(self) -> None:
        """Tell until cancelled."""
        async with asyncio.TaskGroup() as tasks:
            tasks.create_task(self._keep_looking())
            for box in self._boxes:
                tasks.create_task(box.run())

    async def _keep_looking(self) -> None:
        while True:
            self._look()
            await asyncio.sleep(LOOK_S)

    def _look(self) -> None:
        now_us = self._clock.now_us()
        items = self._plan.look(self._standing(), now_us)
        if items:
            self._post(words.of_alarms(items, self._workshop, self.rules.zone, now_us))
        due_us = self.rules.next_test_us(self._looked_us)
        if due_us is not None and due_us <= now_us:
            self._post(self._test_message(Kind.DAILY_TEST))
        self._looked_us = now_us

    def _post(self, message: Message) -> None:
        for box in self._boxes:
            box.put(message)

    def _test_message(self, kind: Kind) -> Message:
        unseen = (AlarmState.ACTIVE, AlarmState.LATCHED)
        standing = sum(alarm.state in unseen for alarm in self._standing())
        return words.of_test(kind, standing, self._workshop, self.rules, self._clock.now_us())


def post_of(
    config: NoticesConfig, workshop: str, standing: Callable[[], list[Alarm]], clock: Clock
) -> NoticePost:
    """Return the post that a configuration asks for."""
    messengers = [Messenger(url) for url in config.urls]
    targets = list(zip(labels(messengers), messengers, strict=True))
    return NoticePost(workshop, config.rules, targets, standing, clock)
