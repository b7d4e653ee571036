import pytest

from collector.documents import parse_toml
from collector.errors import DocumentError
from collector.retention import ALL_KEPT, Retention
from collector.store_config import read_store


def read(text: str) -> Retention:
    root = parse_toml(text, "workshop.toml")
    config = read_store(root.optional_section("store"))
    root.done()
    return config


def test_nothing_is_ever_removed_unless_the_file_says_so() -> None:
    assert read("") == ALL_KEPT


def test_age_and_room_are_read_with_their_units() -> None:
    # NIST SP 811, 5.1 and table 5: the prefixes are decimal; a year of 365.25 days is pint's.
    config = read('[store]\nkeep = "2 year"\nmost = "20 GB"\n')
    assert config == Retention(round(2 * 365.25 * 86_400_000_000), 20_000_000_000)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('keep = "3 h"', 'workshop.toml:2: store.keep: expected at least "1 week"'),
        ('most = "20 kg"', 'workshop.toml:2: store.most: "kg" measures a mass; expected a size'),
        ('most = "10 MB"', 'workshop.toml:2: store.most: expected at least "50 MB"'),
        ('kepp = "2 year"', "store.kepp: unknown key; the keys allowed here are: keep, most"),
    ],
)
def test_a_bound_that_makes_no_sense_is_refused_with_its_line(text: str, said: str) -> None:
    with pytest.raises(DocumentError) as refused:
        read(f"[store]\n{text}\n")
    assert said in refused.value.message
