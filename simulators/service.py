"""The service as the simulated maker sees it: the calls that a person's page makes."""

import json
import urllib.error
import urllib.request
from dataclasses import dataclass
from typing import Any, Protocol

from simulators.recipe_card import Document

TIMEOUT_S = 10.0


HTTP_CONFLICT = 409


class ServiceError(Exception):
    """The service refused a call or did not answer."""


class ConflictError(ServiceError):
    """What the call asks does not go with the state of the workshop: the bench is busy, say."""


class LotGoneError(ServiceError):
    """Somebody else closed the lot."""


@dataclass(frozen=True)
class PitcherShare:
    """What the batch sheet gives to one pitcher: vessels to fill, grams of wax to draw."""

    pitcher: int
    vessels: int
    wax_g: float


@dataclass(frozen=True)
class OpenedLot:
    """A lot that somebody opened: its recipe as a document, and how many vessels it has."""

    id: str
    document: Document
    vessels: int


class Service(Protocol):
    """What the maker asks of the service. Every call may raise ServiceError."""

    def keep_recipe(self, document: Document) -> None:
        """Hand over a recipe."""
        ...

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        """Open a lot and return its id."""
        ...

    def pitchers(self, lot: str) -> list[PitcherShare]:
        """Return the pitchers of the lot's batch sheet, in order."""
        ...

    def mark(self, lot: str, phase: str, edge: str) -> None:
        """Say that a phase begins or ends."""
        ...

    def close_lot(self, lot: str) -> None:
        """Say that the bench is done with the lot."""
        ...


class HttpService:
    """The service over HTTP at `base`, for example http://127.0.0.1:8420."""

    def __init__(self, base: str) -> None:
        self._base = base.rstrip("/")
        # The service is on this machine: a proxy from the environment would only be in the way.
        self._opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))

    def answers(self) -> bool:
        """Return whether the service is up: whether it gives the workshop."""
        try:
            self._call("GET", "/api/workshop")
        except ServiceError:
            return False
        return True

    def keep_recipe(self, document: Document) -> None:
        """Hand over a recipe."""
        self._call("POST", "/api/recipes", document)

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        """Open a lot and return its id."""
        body = {"recipe": recipe, "vessels": vessels, "bench": bench}
        return str(self._call("POST", "/api/lots", body)["id"])

    def opened_at(self, bench: str) -> OpenedLot | None:
        """Return the lot that is open at a bench, if any."""
        lot = self._call("GET", f"/api/benches/{bench}")["lot"]
        if lot is None:
            return None
        shown = self._call("GET", f"/api/lots/{lot}")
        return OpenedLot(str(lot), shown["recipe"]["document"], int(shown["vessels"]))

    def pitchers(self, lot: str) -> list[PitcherShare]:
        """Return the pitchers of the lot's batch sheet, in order."""
        sheet = self._call("GET", f"/api/lots/{lot}")["batch_sheet"]
        return [
            PitcherShare(share["pitcher"], share["vessels"], share["wax"])
            for share in sheet["pitchers"]
        ]

    def mark(self, lot: str, phase: str, edge: str) -> None:
        """Say that a phase begins or ends."""
        self._tell(lot, "marks", {"phase": phase, "edge": edge})

    def close_lot(self, lot: str) -> None:
        """Say that the bench is done with the lot."""
        self._tell(lot, "close", {})

    def _tell(self, lot: str, what: str, body: Document) -> None:
        """Say something of a lot that is open."""
        try:
            self._call("POST", f"/api/lots/{lot}/{what}", body)
        except ConflictError as refusal:
            if self._call("GET", f"/api/lots/{lot}")["state"] == "closed":
                raise LotGoneError(f"lot {lot} is closed") from refusal
            raise

    def _call(self, method: str, path: str, body: Document | None = None) -> dict[str, Any]:
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(  # noqa: S310 - the address comes from the caller
            self._base + path, data, {"Content-Type": "application/json"}, method=method
        )
        try:
            with self._opener.open(request, timeout=TIMEOUT_S) as answer:
                decoded: dict[str, Any] = json.load(answer)
        except urllib.error.HTTPError as refusal:
            problem = refusal.read().decode("utf-8", "replace")
            kind = ConflictError if refusal.code == HTTP_CONFLICT else ServiceError
            raise kind(f"{method} {path}: {refusal.code}: {problem}") from refusal
        except (OSError, ValueError) as failure:
            raise ServiceError(f"{method} {path}: {failure}") from failure
        return decoded
