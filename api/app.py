"""The web application of a running workshop."""

from importlib.metadata import version
from pathlib import Path
from typing import Any

from fastapi import FastAPI

from api import pages, problems
from api.body_limit import BodyLimit
from api.guard import Guard
from api.head_requests import HeadRequests
from api.problems import Supervised
from api.routers import (
    alarm_log,
    alarms,
    benches,
    calibrations,
    exports,
    health,
    instruments,
    live,
    lot_curves,
    lots,
    marks,
    notes,
    notices,
    out_of_service,
    outbox,
    photographs,
    pour_days,
    recipes,
)
from collector.workshop import Workshop

ROUTERS = (
    benches,
    recipes,
    pour_days,
    lots,
    alarm_log,
    alarms,
    calibrations,
    exports,
    instruments,
    lot_curves,
    marks,
    notes,
    notices,
    out_of_service,
    photographs,
    live,
    health,
    outbox,
)


def create_app(workshop: Workshop, screens: Path) -> FastAPI:
    """Make the application for a workshop; `screens` is the folder of the built front end."""
    app = _routed()
    app.state.workshop = workshop
    problems.install(app)
    pages.install(app, screens)
    # The last one added is the outermost.
    app.add_middleware(HeadRequests)
    app.add_middleware(Supervised)
    app.add_middleware(BodyLimit)
    app.add_middleware(Guard, tokens=workshop.config.api.tokens)
    return app


def describe() -> dict[str, Any]:
    """Return the OpenAPI document, without a workshop."""
    return _routed().openapi()


def _routed() -> FastAPI:
    app = FastAPI(
        title="pourkeep",
        version=version("pourkeep"),
        openapi_url="/api/openapi.json",
        docs_url=None,  # its pages would load from another host
        redoc_url=None,
        responses=problems.RESPONSES,
    )
    for module in ROUTERS:
        app.include_router(module.router)
    return app
