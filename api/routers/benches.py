"""The workshop and its benches over HTTP."""

import asyncio
from typing import Annotated

from fastapi import APIRouter, Query, Response

from api import bench_shapes, presenting, shapes
from api.curves import curve
from api.dependencies import Running, check_bench
from api.health import notice_of
from api.instants import instant
from collector.errors import NotFoundError
from collector.late import AHEAD_US
from collector.pipeline import channels_at
from collector.readings import Channel
from collector.workshop import Workshop

router = APIRouter(prefix="/api", tags=["benches"])


@router.get("/workshop")
async def show_workshop(workshop: Running) -> bench_shapes.WorkshopShown:
    """Show the workshop, its clock, what keeps it from writing, and what soon may."""
    config, clock = workshop.config, workshop.clock
    return bench_shapes.WorkshopShown(
        name=config.name,
        timezone=config.timezone,
        display=bench_shapes.DisplayShown(
            temperature=config.display.temperature, mass=config.display.mass
        ),
        benches=list(workshop.pipeline.benches),
        speed=clock.speed,
        now=instant(clock.now_us()),
        trouble=workshop.pipeline.trouble,
        notice=notice_of(workshop),
    )


@router.get("/benches/{bench}")
async def show_bench(workshop: Running, bench: str) -> bench_shapes.BenchShown:
    """Show where a bench stands and what to do next."""
    check_bench(workshop, bench)
    status = workshop.pipeline.status(bench)
    return presenting.bench(status, workshop.clock.now_us())


@router.get("/benches/{bench}/curve", response_model=shapes.CurveShown)
async def show_curve(
    workshop: Running, bench: str, wanted: Annotated[bench_shapes.CurveWanted, Query()]
) -> Response:
    """Show the last minutes of a bench's channel, all that a screen was told among them."""
    check_bench(workshop, bench)
    here = channels_at(workshop.config, bench)
    found = next((c for c in here if c.name == wanted.channel), None)
    if found is None:
        raise NotFoundError(f"Bench {bench} has no channel {wanted.channel!r}.")
    if workshop.pipeline.trouble is None:
        await workshop.pipeline.write_now()
    text = await asyncio.to_thread(_curve, workshop, found, wanted)
    return Response(text, media_type="application/json")


def _curve(workshop: Workshop, channel: Channel, wanted: bench_shapes.CurveWanted) -> str:
    """Return a curve as JSON. Blocks: it is made here so that the service's loop need not."""
    now_us = workshop.clock.now_us()
    from_us = now_us - round(wanted.minutes * 60_000_000)
    if wanted.since is not None:
        from_us = max(from_us, round(wanted.since * 1_000_000))
    span = workshop.history.readings(channel.name, from_us, now_us + AHEAD_US)
    return curve(channel, span, wanted.points).model_dump_json()
