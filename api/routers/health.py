"""How the service does, for a person, a supervisor and Prometheus."""

from http import HTTPStatus
from typing import Any

from fastapi import APIRouter, Response

from api import metrics
from api.dependencies import Running
from api.health import health_of
from api.health_shapes import Health

router = APIRouter(tags=["health"])

METRICS: dict[int | str, dict[str, Any]] = {
    200: {"content": {metrics.CONTENT_TYPE: {"schema": {"type": "string"}}}}
}


@router.get(
    "/api/health",
    responses={503: {"model": Health, "description": "Something fails; `checks` says what."}},
)
async def show_health(workshop: Running, response: Response) -> Health:
    """Show how the service does; 503 where it fails to collect or to keep."""
    health = health_of(workshop)
    if health.status == "failing":
        response.status_code = HTTPStatus.SERVICE_UNAVAILABLE
    return health


@router.get("/metrics", response_class=Response, responses=METRICS)
async def show_metrics(workshop: Running) -> Response:
    """Show the service in numbers, in the Prometheus text format."""
    return Response(metrics.page(workshop), media_type=metrics.CONTENT_TYPE)
