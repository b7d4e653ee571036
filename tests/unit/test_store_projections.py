import msgspec

from collector.alarm_events import AlarmCleared
from collector.lot_events import LotClosed, LotKept, LotOpened, LotReleased, RecipeKept
from collector.recipes import FragranceSpec, LoadOf, Recipe, VesselSpec, WaxSpec
from collector.service_events import InstrumentFound
from collector.store.projections import Change, change_by

RECIPE = Recipe(
    name="Gorse",
    vessel=VesselSpec(fill_mg=180_000, tolerance_mg=2_000),
    wax=WaxSpec(name="soy blend"),
    fragrance=FragranceSpec(name="gorse", load_ppm=70_000, load_of=LoadOf.WAX),
)


def test_a_kept_recipe_is_stored_as_its_document_came_in() -> None:
    document = msgspec.Raw('{"name":  "Gorse", "note": "é"}'.encode())
    event = RecipeKept(at_us=5, bench=None, lot=None, recipe=RECIPE, document=document)
    assert change_by(7, event) == Change(
        "keep_recipe",
        {
            "name": "Gorse",
            "document": '{"name":  "Gorse", "note": "é"}',
            "updated_us": 5,
            "seq": 7,
        },
    )


def test_an_opened_lot_becomes_a_row() -> None:
    event = LotOpened(at_us=5, bench="quay", lot="L", recipe=RECIPE, vessels=6, channels=())
    values: dict[str, str | int | None] = {
        "id": "L",
        "bench": "quay",
        "recipe": "Gorse",
        "vessels": 6,
    }
    values["opened_us"] = 5
    assert change_by(1, event) == Change("open_lot", values)


def test_a_closed_lot_gets_its_end() -> None:
    event = LotClosed(at_us=9, bench="quay", lot="L")
    assert change_by(2, event) == Change("close_lot", {"id": "L", "closed_us": 9})


def test_a_lot_that_is_kept_gets_a_row_until_it_is_released() -> None:
    kept, released = (kind(at_us=9, bench="quay", lot="L") for kind in (LotKept, LotReleased))
    assert change_by(4, kept) == Change("keep_lot", {"lot": "L", "seq": 4})
    assert change_by(5, released) == Change("release_lot", {"lot": "L"})


def test_an_alarm_s_event_is_found_by_the_alarm() -> None:
    event = AlarmCleared(at_us=9, bench="quay", lot=None, alarm="A", outcome="back in its window")
    assert change_by(3, event) == Change("add_alarm_event", {"alarm": "A", "seq": 3})


def test_an_event_of_an_instrument_changes_no_projection() -> None:
    event = InstrumentFound(at_us=9, bench="quay", lot=None, instrument="quay-scale")
    assert change_by(4, event) is None
