import pytest

from collector.link import topics
from collector.link.topics import HUB_STATE, Kind


def test_the_topics_are_those_of_the_contract() -> None:
    assert topics.of_bench("east", Kind.READINGS) == "pourkeep/east/readings"
    assert topics.of_bench("east", Kind.STATE) == "pourkeep/east/state"
    assert topics.of_bench("east", Kind.STORED) == "pourkeep/east/stored"
    assert topics.of_alarms("2026-11-25-1") == "pourkeep/alarms/2026-11-25-1"
    assert topics.of_alarms(None) == "pourkeep/alarms/none"
    assert topics.EVERY_BENCH == ("pourkeep/+/readings", "pourkeep/+/state")


@pytest.mark.parametrize("kind", Kind)
def test_a_bench_is_known_by_its_topic(kind: Kind) -> None:
    assert topics.read(topics.of_bench("far east", kind)) == ("far east", kind)


@pytest.mark.parametrize(
    "topic",
    [HUB_STATE, "pourkeep/alarms/1", "pourkeep/readings", "pourkeep//state", "a/b/state", ""],
)
def test_what_is_no_benchs_topic_is_nobodys(topic: str) -> None:
    assert topics.read(topic) is None
