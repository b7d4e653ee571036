"""One InfluxDB server, of whatever generation: line protocol in, InfluxQL out. Calls block."""

import base64
import gzip
from collections.abc import Sequence
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import msgspec
import urllib3

from collector.influx_config import InfluxConfig
from collector.store.influx.answers import (
    MisconfiguredError,
    MissingDatabaseError,
    NoSuchPathError,
    RefusedError,
    UnreachableError,
    complaint,
)

if TYPE_CHECKING:
    from influxdb_client.client.write_api import WriteApi

CONNECT_S = 3.0
ANSWER_S = 10.0
"""How long a server may take to answer before that counts as away."""

_GZIP_LEVEL = 1  # a fifth of the bytes; the next levels cost more time than they save

Cell = int | float | str | bool | None


class Series(msgspec.Struct):
    """Rows of an answer, each with the values of `columns`; `time` is in UTC microseconds."""

    columns: list[str] = []
    values: list[list[Cell]] = []


class Result(msgspec.Struct):
    """What one statement gave; `partial` where the server cut it."""

    series: list[Series] = []
    partial: bool = False
    error: str | None = None


class _Answer(msgspec.Struct):
    results: list[Result] = []
    error: str | None = None


class InfluxServer:
    """Writes points and asks questions; making one opens nothing.

    All calls raise UnreachableError, RefusedError or MisconfiguredError.
    """

    def __init__(self, config: InfluxConfig, answer_s: float = ANSWER_S) -> None:
        self.config = config
        self.where = f"The InfluxDB at {config.url}"
        self._timeout = urllib3.Timeout(connect=CONNECT_S, read=answer_s)
        self._pool = urllib3.PoolManager(
            cert_reqs="CERT_REQUIRED" if config.verify else "CERT_NONE",
            ca_certs=str(config.ca) if config.ca else None,
            retries=False,
            timeout=self._timeout,
        )
        self._writer: WriteApi | None = None
        self._writes_as_v1 = False

    # ------------------------------------------------------------ writing

    def write(self, lines: Sequence[str]) -> None:
        """Write points, all of them or an error; a missing database is made where allowed."""
        body = "\n".join(lines).encode()
        try:
            self._write(body)
        except MissingDatabaseError as missing:
            self._create_database(missing)
            self._write(body)

    def _write(self, body: bytes) -> None:
        """Write by the way of 2.x and 3.x, which 1.8 has too; older ones know only their own."""
        if not self._writes_as_v1:
            try:
                self._write_v2(body)
            except NoSuchPathError:
                self._writes_as_v1 = True
            else:
                return
        try:
            self._write_v1(body)
        except NoSuchPathError:
            self._writes_as_v1 = False  # neither: what is at this address may still change
            raise

    def _write_v2(self, body: bytes) -> None:
        from influxdb_client.rest import ApiException  # noqa: PLC0415 - see _made_writer

        self._writer = self._writer or self._made_writer()
        try:
            self._writer.write(self.config.bucket, self.config.org, body)
        except ApiException as error:
            if not error.status:  # how the client tells of TLS
                raise self._untrusted(str(error.reason)) from error
            said = (error.body or "").encode()
            raise complaint(self.where, error.status, said, error.retry_after) from error
        except urllib3.exceptions.HTTPError as error:
            raise self._away(error) from error

    def _write_v1(self, body: bytes) -> None:
        fields = {"db": self.config.database, "precision": "n"}
        if self.config.retention_policy is not None:
            fields["rp"] = self.config.retention_policy
        headers = {
            "Content-Type": "text/plain; charset=utf-8",
            "Content-Encoding": "gzip",
            **self._credentials(),
        }
        url = f"{self.config.url}/write?{urlencode(fields)}"
        self._request("POST", url, headers, body=gzip.compress(body, _GZIP_LEVEL))

    def _made_writer(self) -> "WriteApi":
        """Make the client library's writer, which sends each batch at once and retries nothing.

        Imported when it is used, for it takes a third of a second and 11 MB.
        """
        from influxdb_client.client.influxdb_client import InfluxDBClient  # noqa: PLC0415
        from influxdb_client.client.write_api import SYNCHRONOUS  # noqa: PLC0415

        config = self.config
        client = InfluxDBClient(
            config.url,
            # 1.8 takes user and password in the place of a token
            token=f"{config.user}:{config.password}" if config.user else config.token or "",
            timeout=(round(CONNECT_S * 1000), round(float(self._timeout.read_timeout or 0) * 1000)),
            enable_gzip=True,
            verify_ssl=config.verify,
            ssl_ca_cert=str(config.ca) if config.ca else None,
        )
        return client.write_api(write_options=SYNCHRONOUS)

    def _create_database(self, missing: MissingDatabaseError) -> None:
        name = identifier(self.config.database)
        try:
            self._ask("POST", f"CREATE DATABASE {name}")
        except (MisconfiguredError, RefusedError) as error:
            raise MisconfiguredError(
                f'{missing.message}. Make "{self.config.database}" there or let this account do'
                f" it: {error.message}"
            ) from error

    # ------------------------------------------------------------ asking

    def query(self, statement: str) -> Result:
        """Return what one InfluxQL statement that changes nothing gives."""
        return self._ask("GET", statement)

    def _ask(self, method: str, statement: str) -> Result:
        fields = {"db": self.config.database, "epoch": "u", "q": statement}
        if self.config.retention_policy is not None:
            fields["rp"] = self.config.retention_policy
        headers = {"Accept": "application/json", **self._credentials()}
        body = self._request(method, f"{self.config.url}/query", headers, fields=fields)
        try:
            answer = msgspec.json.decode(body, type=_Answer)
        except msgspec.DecodeError as error:
            raise MisconfiguredError(f"{self.where} gives no answer in JSON.") from error
        result = answer.results[0] if answer.results else Result()
        if problem := answer.error or result.error:
            raise MisconfiguredError(f"{self.where} answers: {problem}.")
        return result

    # ------------------------------------------------------------ requests

    def _request(
        self,
        method: str,
        url: str,
        headers: dict[str, str],
        body: bytes | None = None,
        fields: dict[str, str] | None = None,
    ) -> bytes:
        try:
            if method == "POST" and fields is not None:
                answer = self._pool.request_encode_body(
                    method, url, fields, headers, encode_multipart=False
                )
            else:
                answer = self._pool.request(method, url, body=body, fields=fields, headers=headers)
        except urllib3.exceptions.SSLError as error:
            raise self._untrusted(str(error)) from error
        except urllib3.exceptions.HTTPError as error:
            raise self._away(error) from error
        if not 200 <= answer.status < 300:
            retry_after = answer.headers.get("Retry-After")
            raise complaint(self.where, answer.status, answer.data, retry_after)
        return answer.data

    def _credentials(self) -> dict[str, str]:
        """Return the header that signs in: Basic for a user of 1.x, Token for newer ones."""
        config = self.config
        if config.token is not None:
            return {"Authorization": f"Token {config.token}"}
        if config.user is None:
            return {}
        pair = base64.b64encode(f"{config.user}:{config.password}".encode())
        return {"Authorization": f"Basic {pair.decode()}"}

    def _away(self, error: urllib3.exceptions.HTTPError) -> UnreachableError:
        return UnreachableError(f"{self.where} does not answer ({_why(error)}).")

    def _untrusted(self, reason: str) -> MisconfiguredError:
        return MisconfiguredError(
            f"{self.where} is not trusted ({' '.join(reason.split())}). Name its certificate as ca"
            " in [influx]."
        )


_WHYS = (
    (urllib3.exceptions.NameResolutionError, "its name is not known"),
    (urllib3.exceptions.NewConnectionError, "it takes no connection"),
    (urllib3.exceptions.ConnectTimeoutError, "no connection in time"),
    (urllib3.exceptions.ReadTimeoutError, "no answer in time"),
    (urllib3.exceptions.ProtocolError, "the connection broke"),
)


def _why(error: urllib3.exceptions.HTTPError) -> str:
    return next((why for kind, why in _WHYS if isinstance(error, kind)), type(error).__name__)


def identifier(name: str) -> str:
    """Return a name as InfluxQL takes it, in double quotes.

    https://docs.influxdata.com/influxdb/v1/query_language/spec/#identifiers
    """
    return '"' + _escaped(name).replace('"', r"\"") + '"'


def string(value: str) -> str:
    """Return a text as InfluxQL takes it; a quote is escaped by a backslash, never doubled.

    https://docs.influxdata.com/influxdb/v1/query_language/spec/#strings
    """
    return "'" + _escaped(value).replace("'", r"\'") + "'"


def _escaped(text: str) -> str:
    return text.replace("\\", r"\\").replace("\n", r"\n")
