import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Health, Outbox } from "../types.ts";
import { health as words, page } from "../words.ts";
import "./health_page.css";
import { OutboxList } from "./outbox_list.tsx";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

const SIGNS: Record<Health["status"], SignName> = { ok: "check", warning: "medium", failing: "high" };
const LOOK_MS = 5_000;

interface Found {
  health: Health;
  outboxes: Outbox[];
}

/** How the service does, in sentences, and what it sends elsewhere. */
export function HealthPage({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const found = useFound(workshop);
  if (found === null) return <><h1>{words.title}</h1><p>{page.loading}</p></>;
  const { health, outboxes } = found;
  return (
    <>
      <h1>{words.title}</h1>
      <Status health={health} lost={workshop.outside.feed.status.value === "lost"} />
      <section class="panel" aria-label={words.checks}>
        <h2>{words.checks}</h2>
        <ul class="health-checks">
          {health.checks.map(({ name, status, sentence }) => (
            <li key={name} class={status}>
              <Sign name={SIGNS[status]} />
              <strong>{words.check[status]}</strong>
              <span>{workshop.preferences.told(sentence)}</span>
            </li>
          ))}
        </ul>
      </section>
      <OutboxList workshop={workshop} outboxes={outboxes} />
    </>
  );
}

/** What is known of the service; without a line to it, that is nothing of the present. */
function Status({ health, lost }: { health: Health; lost: boolean }): JSX.Element {
  const status = lost ? "warning" : health.status;
  return (
    <p class={`health-status ${status}`} role="status">
      <Sign name={lost ? "cut" : SIGNS[status]} /> {lost ? words.lost : words.status[status]}
    </p>
  );
}

function useFound(workshop: WorkshopModel): Found | null {
  const [found, setFound] = useState<Found | null>(null);
  const connection = workshop.connection.value;
  useEffect(() => {
    const { service } = workshop.outside;
    const look = (): void => void workshop.complaints.watch(async () => {
      const [health, outboxes] = await Promise.all([service.health(), service.outboxes()]);
      setFound({ health, outboxes });
    });
    look();
    const timer = setInterval(look, LOOK_MS);
    return () => clearInterval(timer);
  }, [workshop, connection]);
  return found;
}
