"""A page whose question is answered late shows what was told meanwhile, in a real browser."""

from pathlib import Path

from idle_workshop import idle_workshop
from playwright.sync_api import Page, Route, expect

FERN = {
    "name": "Dry fern",
    "vessel": {"fill": "120 g", "tolerance": "2 g"},
    "wax": {"name": "coconut"},
    "fragrance": {"name": "fern", "load": "8 %", "load_of": "wax"},  # 240 g: 222.2 and 17.8
}


def test_a_bench_that_moves_on_while_its_page_is_loading_is_shown_as_it_is(
    page: Page, tmp_path: Path
) -> None:
    with idle_workshop(tmp_path) as url:
        ask = page.request
        assert ask.post(f"{url}/api/recipes", data=FERN).ok
        order = {"recipe": FERN["name"], "vessels": 2, "bench": "sill"}
        held: list[Route] = []

        def overtaken(route: Route) -> None:
            """Take the answer of now, and hand it over when a lot has been opened and told."""
            if held:
                route.continue_()
                return
            held.append(route)
            answer = route.fetch()
            assert answer.json()["lot"] is None
            assert ask.post(f"{url}/api/lots", data=order).ok
            page.wait_for_timeout(500)  # the stream brings it
            route.fulfill(response=answer)

        page.route("**/api/benches/sill", overtaken)
        page.goto(f"{url}/?bench=sill")
        expect(page.get_by_text("Draw 222.2 g of wax into the pitcher")).to_be_visible()
        page.wait_for_timeout(500)  # the late answer is in
        expect(page.get_by_text("Draw 222.2 g of wax into the pitcher")).to_be_visible()
        assert len(held) == 1
