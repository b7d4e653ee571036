"""What is known of a channel: from the config, else from the lots it once took part in."""

from collections.abc import Iterator, Mapping

from collector.lot_events import LotOpened
from collector.readings import Channel
from collector.store.history import History


class ChannelBook(Mapping[str, Channel]):
    """Channels by name. One that the config does not have is looked up in the journal, once."""

    def __init__(self, configured: Mapping[str, Channel], history: History) -> None:
        self._known = dict(configured)
        self._history = history
        self._is_read = False

    def __getitem__(self, name: str) -> Channel:
        if name not in self._known and not self._is_read:
            self._read()
        return self._known[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)

    def _read(self) -> None:
        for stored in self._history.events_of([LotOpened]):
            if isinstance(stored.event, LotOpened):
                earlier = {channel.name: channel for channel in stored.event.channels}
                self._known = earlier | self._known
        self._is_read = True
