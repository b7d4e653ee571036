"""What tests ask of a real InfluxDB server beside the adapter."""

import urllib3
from influx_process import PATIENCE_S, InfluxProcess

from collector.store.influx.server import InfluxServer, identifier


def administer(process: InfluxProcess, statement: str, **account: str) -> str:
    """Say an InfluxQL statement to a server; return its answer as text."""
    headers = urllib3.make_headers(basic_auth=":".join(account.values())) if account else {}
    answer = urllib3.request(
        "POST", f"{process.url}/query", fields={"q": statement}, headers=headers, timeout=PATIENCE_S
    )
    return answer.data.decode()


def count(server: InfluxServer, measurement: str, field: str) -> int:
    """Return how many points of a measurement have a field."""
    counted = f"count({identifier(field)})"
    result = server.query(f"SELECT {counted} FROM {identifier(measurement)}")  # noqa: S608
    return sum(int(row[1] or 0) for series in result.series for row in series.values)
