"""Rules that a bench does not announce at present, over HTTP."""

import asyncio

from fastapi import APIRouter

from api import alarm_presenting as presenting
from api import alarm_shapes as shapes
from api.dependencies import Running, check_bench
from collector import rules
from collector.answer_events import RulePutBack, RuleTakenOut
from collector.errors import NotFoundError
from collector.phases import ORDER
from collector.pipeline import channels_at
from collector.recipes import Recipe
from collector.workshop import Workshop

router = APIRouter(prefix="/api/benches/{bench}/out-of-service", tags=["alarms"])


@router.get("")
async def list_out_of_service(workshop: Running, bench: str) -> list[shapes.OutOfServiceShown]:
    """List what is out of service at a bench, in the order in which it was taken out."""
    check_bench(workshop, bench)
    return _shown(workshop, bench)


@router.post("", status_code=201)
async def take_out(
    workshop: Running, bench: str, wanted: shapes.TakeOutRequest
) -> list[shapes.OutOfServiceShown]:
    """Take a rule out of service until it is put back; 409 where it is out already."""
    check_bench(workshop, bench)
    await asyncio.to_thread(_check_known, workshop, bench, wanted.rule, wanted.subject)

    def taken_out(at_us: int) -> RuleTakenOut:
        return RuleTakenOut(
            at_us=at_us,
            bench=bench,
            lot=workshop.pipeline.benches[bench].lot,
            rule=wanted.rule,
            subject=wanted.subject,
            reason=wanted.reason,
        )

    await workshop.pipeline.give(bench, taken_out)
    return _shown(workshop, bench)


@router.post("/put-back")
async def put_back(
    workshop: Running, bench: str, wanted: shapes.PutBackRequest
) -> list[shapes.OutOfServiceShown]:
    """Put a rule back into service under the name it was taken out by; 409 where it is in."""
    check_bench(workshop, bench)

    def given(at_us: int) -> RulePutBack:
        return RulePutBack(
            at_us=at_us,
            bench=bench,
            lot=workshop.pipeline.benches[bench].lot,
            rule=wanted.rule,
            subject=wanted.subject,
        )

    await workshop.pipeline.give(bench, given)
    return _shown(workshop, bench)


def _shown(workshop: Workshop, bench: str) -> list[shapes.OutOfServiceShown]:
    return [presenting.taken_out(event) for event in workshop.pipeline.ledger.taken_out(bench)]


def _check_known(workshop: Workshop, bench: str, rule: str, subject: str | None) -> None:
    """Raise NotFoundError for a rule, channel or phase that neither bench nor recipes know."""
    recipes = _recipes(workshop, bench)
    known = dict.fromkeys([*rules.PRIORITIES, *(o.rule for r in recipes for o in r.own_limits)])
    if rule not in known:
        raise NotFoundError(f"There is no rule {rule!r}; the rules are {', '.join(known)}.")
    channels = (channel.name for channel in channels_at(workshop.config, bench))
    subjects = dict.fromkeys([*channels, *ORDER, *(p for r in recipes for p in r.order)])
    if subject is not None and subject not in subjects:
        raise NotFoundError(
            f"Bench {bench} has no channel or phase {subject!r}; it has {', '.join(subjects)}."
        )


def _recipes(workshop: Workshop, bench: str) -> list[Recipe]:
    run = workshop.pipeline.benches[bench].run
    kept = [stored.recipe for stored in workshop.history.recipes()]
    return kept if run is None else [run.recipe, *kept]
