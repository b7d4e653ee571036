"""Tells every change of an alarm on the broker, after it is on disk."""

import asyncio
import secrets
from collections.abc import Callable, Iterable

from collector.alarm_document import alarm_document
from collector.alarms import Alarm, AlarmState
from collector.clock import Clock
from collector.link import topics
from collector.link.broker import Broker, Session
from collector.live import Happened, Live, Notice, Screen
from collector.mqtt_config import MqttConfig

LOOK_S = 60.0


class AlarmTeller:
    """Follows the alarms as a screen does; after a break it tells again what stands.

    `alarms` gives the alarms that stand, and any that is asked for by its id.
    """

    name = "teller of alarms"

    def __init__(
        self,
        config: MqttConfig,
        live: Live,
        alarms: Callable[[Iterable[str]], list[Alarm]],
        clock: Clock,
    ) -> None:
        # Several services may judge at one broker, and none must push another out.
        self._broker = Broker(config, f"pourkeep-alarms-{secrets.token_hex(4)}")
        self._live = live
        self._alarms = alarms
        self._clock = clock
        self._told: set[str] = set()  # those that stood when they were told last

    async def run(self) -> None:
        """Tell until cancelled."""
        await self._broker.stay_connected(self._visit)

    async def _visit(self, session: Session) -> None:
        with self._live.screen() as screen:
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(session.arrived(1))  # nothing comes: it ends with the session
                tasks.create_task(self._follow(session, screen))

    async def _follow(self, session: Session, screen: Screen) -> None:
        await self._tell_all(session)
        while True:
            async for notice in screen.notices(LOOK_S):
                for alarm in _alarms_of(notice):
                    await self._tell(session, alarm)
            screen.lagging.clear()  # what did not fit is among what stands
            await self._tell_all(session)

    async def _tell_all(self, session: Session) -> None:
        """Tell what stands, and what became of what stood when it was told last."""
        for alarm in self._alarms(self._told):
            await self._tell(session, alarm)

    async def _tell(self, session: Session, alarm: Alarm) -> None:
        document = alarm_document(alarm, self._clock.now_us())
        await session.publish(topics.of_alarms(alarm.raised.lot), document)
        if alarm.state is AlarmState.ENDED:
            self._told.discard(alarm.raised.alarm)
        else:
            self._told.add(alarm.raised.alarm)


def _alarms_of(notice: Notice | None) -> Iterable[Alarm]:
    if isinstance(notice, Happened):
        return notice.alarms
    return (notice,) if isinstance(notice, Alarm) else ()
