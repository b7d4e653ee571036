import { useEffect, useMemo } from "preact/hooks";
import type { JSX } from "preact";
import { NoticesModel } from "../models/notices.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Notices, QuietHours } from "../types.ts";
import { notices as words, page } from "../words.ts";
import { NoticeTargets, moment } from "./notice_targets.tsx";
import "./notices_page.css";

/** Who is told beyond the room, when, and a test of it. */
export function NoticesPage({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const { feed, service } = workshop.outside;
  const model = useMemo(
    () => new NoticesModel(feed, service, workshop.complaints), [feed, service, workshop],
  );
  useEffect(() => {
    void model.load();
    return () => model.close();
  }, [model]);
  const shown = model.shown.value;
  return (
    <>
      <h1>{words.title}</h1>
      <p>{words.what}</p>
      {shown === null ? <p>{page.loading}</p> : null}
      {shown?.configured === false ? <HowTo /> : null}
      {shown?.configured === true
        ? <Told model={model} shown={shown} wall={workshop.wall.value} />
        : null}
    </>
  );
}

interface ToldProps {
  model: NoticesModel;
  shown: Notices;
  wall: WallTime;
}

function Told({ model, shown, wall }: ToldProps): JSX.Element {
  return (
    <>
      <NoticeTargets targets={shown.targets} wall={wall} />
      <TestPanel model={model} shown={shown} />
      <WhenPanel shown={shown} wall={wall} />
    </>
  );
}

function TestPanel({ model, shown }: { model: NoticesModel; shown: Notices }): JSX.Element {
  const busy = model.testing.value;
  const untested = shown.targets.every((target) => target.test === null);
  return (
    <section class="panel notice-test" aria-label={words.test}>
      <h2>{words.test}</h2>
      <button type="button" aria-disabled={busy} onClick={() => void model.test()}>
        {words.send}
      </button>
      <div role="status">
        {busy ? <p>{words.testing}</p> : null}
        {!busy && untested ? <p>{words.never}</p> : null}
        {busy ? null : shown.targets.map((target) => target.test === null ? null : (
          <p key={target.target}>
            <strong>{target.target}</strong>: {words.outcome[target.test.outcome]}
          </p>
        ))}
      </div>
      <p class="soft">{words.look}</p>
    </section>
  );
}

function WhenPanel({ shown, wall }: { shown: Notices; wall: WallTime }): JSX.Element {
  const { from_priority: lowest, fold_seconds: fold, repeat_seconds: repeat } = shown;
  const next = shown.next_test_at;
  return (
    <section class="panel" aria-label={words.when}>
      <h2>{words.when}</h2>
      <ul class="notice-rules">
        {lowest === null ? null : <li>{words.told(lowest)}</li>}
        {fold === null ? null : <li>{words.fold(fold)}</li>}
        {repeat === null ? null : <li>{words.repeat(repeat)}</li>}
        {shown.gathered === 0 ? null : <li><strong>{words.gathered(shown.gathered)}</strong></li>}
        <li>{shown.quiet === null ? words.noQuiet : <Quiet quiet={shown.quiet} wall={wall} />}</li>
        {shown.held.length === 0 ? null : <li><strong>{words.held(shown.held.length)}</strong></li>}
        <li>{next === null ? words.noTest : words.nextTest(moment(wall, next))}</li>
      </ul>
    </section>
  );
}

function Quiet({ quiet, wall }: { quiet: QuietHours; wall: WallTime }): JSX.Element {
  return (
    <>
      {words.quiet(quiet.begin, quiet.end, quiet.lets_high_through)}
      {quiet.until === null
        ? null
        : <> <strong>{words.quietNow(wall.minute(quiet.until))}</strong></>}
    </>
  );
}

function HowTo(): JSX.Element {
  return (
    <section class="panel notice-how" aria-label={words.none}>
      <h2>{words.none}</h2>
      <p>{words.how}</p>
      <pre tabIndex={0}>{words.lines}</pre>
      <p class="soft">{words.secret}</p>
    </section>
  );
}
