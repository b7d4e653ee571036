"""A service with tokens, asked as a phone and a program in the house would."""

from pathlib import Path

import httpx
from lot_by_hand import write_config
from service_process import serving

TOKEN = "dune-grass-and-salt"  # noqa: S105 - a token of the test's own


def test_a_service_with_tokens_opens_to_those_who_know_one(tmp_path: Path) -> None:
    config = write_config(tmp_path)
    with config.open("a") as file:
        file.write(f'tokens = ["{TOKEN}"]\n')
    with serving(config) as service:
        strange_host = {"host": "workshop.lan"}
        refused = service.http.get("/api/lots", headers=strange_host)
        assert refused.status_code == 401
        assert refused.headers["content-type"] == "application/problem+json"
        bearer = {**strange_host, "authorization": f"Bearer {TOKEN}"}
        assert service.http.get("/api/lots", headers=bearer).json() == []
        with httpx.Client(base_url=service.base, trust_env=False) as phone:
            first = phone.get("/", params={"token": TOKEN})
            assert (first.status_code, first.headers["location"]) == (303, "/")
            assert phone.get("/api/lots").json() == []
        assert TOKEN not in service.log.read_text()
