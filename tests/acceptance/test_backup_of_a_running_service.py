"""A backup while the real service runs, and a service that goes on from it elsewhere."""

import re
from pathlib import Path

from lot_by_hand import BENCH, RECIPE, write_config
from service_process import pourkeep, serving


def test_a_service_goes_on_from_a_backup_in_another_folder(tmp_path: Path) -> None:
    config, backup = write_config(tmp_path), tmp_path / "monday.db"
    opening = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH}
    with serving(config) as service:
        service.post("/api/recipes", RECIPE)
        lot = service.post("/api/lots", opening)["id"]
        done = pourkeep("backup", "--data", tmp_path / "data", "--to", backup)
        assert (done.returncode, done.stderr) == (0, "")
        assert re.match(rf"{backup}: [\d.]+ MB, \d+ events, the last of 20\d\d-", done.stdout)
        refused = pourkeep("rebuild", "--data", tmp_path / "data")
        assert (refused.returncode, refused.stdout) == (1, "")
        assert f"(process {service.process.pid})" in refused.stderr
        service.post(f"/api/lots/{lot}/close", {}, 200)  # which the backup does not know of
        assert service.stop()[0] == 0
    again = pourkeep("backup", "--data", tmp_path / "data", "--to", backup)
    assert (again.returncode, again.stdout) == (1, "")
    new = tmp_path / "new"
    new.mkdir()
    assert pourkeep("restore", "--from", backup, "--data", new / "data").returncode == 0
    assert pourkeep("restore", "--from", backup, "--data", new / "data").returncode == 1
    with serving(write_config(new)) as service:
        assert service.get(f"/api/lots/{lot}")["state"] == "open"
        service.post(f"/api/lots/{lot}/close", {}, 200)
        assert service.stop()[0] == 0
    assert pourkeep("verify", "--data", new / "data").returncode == 0
    assert pourkeep("rebuild", "--data", new / "data").returncode == 0
