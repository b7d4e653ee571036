"""The workshop and its benches over HTTP."""

import asyncio
from typing import Annotated

from fastapi import APIRouter, Query

from api import bench_shapes, presenting, shapes
from api.curves import curve
from api.dependencies import Running, check_bench
from api.health import notice_of
from api.instants import instant
from collector.errors import NotFoundError
from collector.pipeline import channels_at

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


@router.get("/benches/{bench}/curve")
async def show_curve(
    workshop: Running,
    bench: str,
    channel: str,
    minutes: Annotated[float, Query(gt=0, le=24 * 60)] = 60,
    points: Annotated[int, Query(ge=2, le=20_000)] = 1200,
) -> shapes.CurveShown:
    """Show the last minutes of a bench's channel."""
    check_bench(workshop, bench)
    found = next((c for c in channels_at(workshop.config, bench) if c.name == channel), None)
    if found is None:
        raise NotFoundError(f"Bench {bench} has no channel {channel!r}.")
    now_us = workshop.clock.now_us()
    since_us = now_us - round(minutes * 60_000_000)
    span = await asyncio.to_thread(workshop.history.readings, channel, since_us, now_us)
    return await asyncio.to_thread(curve, found, span, points)
