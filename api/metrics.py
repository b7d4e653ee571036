"""The service in numbers, as Prometheus reads them: text format 0.0.4.

Names and units follow https://prometheus.io/docs/practices/naming/. Labels are the workshop's
own names and fixed lists, so there are as many series as there are things in it.
"""

import platform
from collections.abc import Iterable, Iterator
from importlib.metadata import version

from prometheus_client import CollectorRegistry
from prometheus_client.exposition import CONTENT_TYPE_PLAIN_0_0_4, generate_latest
from prometheus_client.metrics_core import (
    CounterMetricFamily,
    GaugeMetricFamily,
    HistogramMetricFamily,
    Metric,
)
from prometheus_client.registry import Collector

from collector.clock import synchronized
from collector.priorities import Priority
from collector.tally import COMMIT_S
from collector.workshop import Workshop

CONTENT_TYPE = CONTENT_TYPE_PLAIN_0_0_4


def page(workshop: Workshop) -> bytes:
    """Return the page. To be called in the event loop; blocks on nothing."""
    # A registry for each page: nothing is kept for the whole process, and nothing twice.
    registry = CollectorRegistry()
    registry.register(WorkshopCollector(workshop))
    return generate_latest(registry)


class WorkshopCollector(Collector):
    """Reads the numbers off a workshop whenever it is asked."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop

    def collect(self) -> Iterator[Metric]:
        """Give every metric with its samples."""
        yield from self._kept()
        yield from self._waiting()
        yield from self._readers()
        yield from self._benches()
        yield from self._disk()
        yield from self._clock()
        yield from self._senders()
        yield from self._notices()
        yield _gauge(
            "build_info",
            "The version that runs.",
            [(1, {"version": version("pourkeep"), "python": platform.python_version()})],
        )

    def _kept(self) -> Iterator[Metric]:
        tally = self._workshop.pipeline.batch.tally
        yield _counter(
            "readings_stored",
            "Readings stored since the start, by channel.",
            [(count, {"channel": channel}) for channel, count in tally.readings.items()],
        )
        yield _counter(
            "events_stored",
            "Events stored since the start, by kind.",
            [(count, {"kind": kind}) for kind, count in tally.events.items()],
        )
        bounds = [*(f"{bound}" for bound in COMMIT_S), "+Inf"]
        totals = [sum(tally.commits[: place + 1]) for place in range(len(tally.commits))]
        commits = HistogramMetricFamily(
            "pourkeep_commit_duration_seconds", "How long commits to the store took."
        )
        commits.add_metric([], list(zip(bounds, totals, strict=True)), tally.commits_s)
        yield commits
        yield _counter("commits_refused", "Commits that the store refused.", [(tally.refused, {})])
        yield _counter(
            "readings_lost",
            "Readings that memory could not hold while the store refused.",
            [(tally.lost, {})],
        )

    def _waiting(self) -> Iterator[Metric]:
        pipeline = self._workshop.pipeline
        yield _gauge(
            "readings_waiting",
            "Readings in memory that are not on disk yet.",
            [(pipeline.batch.waiting, {})],
        )
        yield _gauge(
            "store_refusing",
            "1 while the store refuses what is collected, else 0.",
            [(float(pipeline.trouble is not None), {})],
        )
        yield _counter(
            "samples_dropped",
            "Samples dropped because the service did not keep up.",
            [(pipeline.inbox.dropped, {})],
        )

    def _readers(self) -> Iterator[Metric]:
        names = self._workshop.pipeline.instruments
        yield _counter(
            "messages_rejected",
            "Messages of an instrument that were no reading, by reason.",
            [
                (count, {"instrument": name, "reason": reason})
                for name in names
                for reason, count in self._workshop.rejected(name).items()
            ],
        )
        now_us = self._workshop.clock.now_us()
        yield _gauge(
            "last_reading_age_seconds",
            "How long ago the latest reading of a channel was taken.",
            [
                ((now_us - state.last.taken_us) / 1e6, {"channel": name})
                for name, state in names.items()
                if state.last is not None
            ],
        )

    def _benches(self) -> Iterator[Metric]:
        pipeline = self._workshop.pipeline
        standing = [pipeline.ledger.find(alarm).raised for alarm in pipeline.ledger.standing]
        yield _gauge(
            "alarms_standing",
            "Alarms that have not ended, by priority.",
            [
                (sum(raised.priority is priority for raised in standing), {"priority": priority})
                for priority in Priority
            ],
        )
        lots = sum(bench.lot is not None for bench in pipeline.benches.values())
        yield _gauge("lots_open", "Lots that are open.", [(lots, {})])
        yield _gauge(
            "screens_connected", "Screens on the event stream.", [(pipeline.live.screens, {})]
        )

    def _disk(self) -> Iterator[Metric]:
        space = self._workshop.space.space
        if space is None:
            return
        yield _gauge("store_size_bytes", "Size of the store.", [(space.store_bytes, {})])
        yield _gauge("disk_free_bytes", "Free space on the store's disk.", [(space.free_bytes, {})])

    def _clock(self) -> Iterator[Metric]:
        state = self._workshop.pipeline.clock_state
        if state is None:
            return
        yield _gauge(
            "clock_offset_seconds",
            "How much later the system's clock is than the service's time.",
            [(state.off_us / 1e6, {})],
        )
        is_set = synchronized()
        if is_set is not None:
            yield _gauge(
                "clock_synchronized",
                "1 where the system's clock was set from the network, else 0.",
                [(float(is_set), {})],
            )

    def _senders(self) -> Iterator[Metric]:
        states = [sender.state for sender in self._workshop.senders]
        yield _gauge(
            "sender_waiting_commits",
            "Commits that a sender has not sent yet.",
            [(state.waiting, {"sender": state.target}) for state in states],
        )
        yield _gauge(
            "sender_working",
            "1 while a sender gets through, else 0.",
            [(float(state.working), {"sender": state.target}) for state in states],
        )
        yield _gauge(
            "sender_refused_points",
            "Points that a target refused for good, set aside.",
            [(state.refused, {"sender": state.target}) for state in states],
        )

    def _notices(self) -> Iterator[Metric]:
        post = self._workshop.notices
        states = post.targets if post is not None else []
        yield _gauge(
            "notice_target_working",
            "1 while the latest notice to a target got through or none was sent, else 0.",
            [(float(state.working), {"target": state.target}) for state in states],
        )
        yield _gauge(
            "notices_waiting",
            "Notices that wait to be sent to a target.",
            [(state.waiting, {"target": state.target}) for state in states],
        )
        yield _counter(
            "notices_sent",
            "Notices sent to a target since the start.",
            [(state.sent, {"target": state.target}) for state in states],
        )
        yield _counter(
            "notice_failures",
            "Attempts to send a notice to a target that failed.",
            [(state.failed, {"target": state.target}) for state in states],
        )
        yield _counter(
            "notices_lost",
            "Notices to a target that were given up.",
            [(state.lost, {"target": state.target}) for state in states],
        )


Samples = Iterable[tuple[float, dict[str, str]]]


def _gauge(name: str, meaning: str, samples: Samples) -> Metric:
    gauge = GaugeMetricFamily(f"pourkeep_{name}", meaning)
    for value, labels in samples:
        gauge.add_sample(gauge.name, labels, value)
    return gauge


def _counter(name: str, meaning: str, samples: Samples) -> Metric:
    counter = CounterMetricFamily(f"pourkeep_{name}", meaning)
    for value, labels in samples:
        counter.add_sample(f"{counter.name}_total", labels, value)
    return counter
