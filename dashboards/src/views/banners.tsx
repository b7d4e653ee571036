import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import { UNREACHABLE } from "../feed/refusal.ts";
import type { Refusal } from "../feed/refusal.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import { page as words } from "../words.ts";
import "./banners.css";
import { Sign } from "./sign.tsx";

interface BannerProps {
  workshop: WorkshopModel;
}

export function ConnectionBanner({ workshop }: BannerProps): JSX.Element {
  const lost = useComputed(() => workshop.outside.feed.status.value === "lost").value;
  return (
    <div role="status">
      {lost ? <p class="banner"><Sign name="cut" /> {lostSince(workshop)}</p> : null}
    </div>
  );
}

/** That nothing can be written: the day goes on, but its record does not. */
export function TroubleBanner({ workshop }: BannerProps): JSX.Element {
  const trouble = workshop.trouble.value;
  return (
    <div role="status">
      {trouble === null
        ? null
        : <p class="banner severe"><Sign name="high" /> {words.trouble(trouble)}</p>}
    </div>
  );
}

/** What should be seen to before it becomes trouble. */
export function NoticeBanner({ workshop }: BannerProps): JSX.Element {
  const notice = workshop.notice.value;
  return (
    <div role="status">
      {notice === null ? null : <p class="banner calm"><Sign name="low" /> {notice}</p>}
    </div>
  );
}

function lostSince(workshop: WorkshopModel): string {
  const heardAt = workshop.clock.heardAt.value;
  return heardAt === 0 ? words.never : words.lost(workshop.wall.value.time(heardAt));
}

/** What the service refused, until it is dismissed or something works. */
export function ComplaintBanner({ workshop }: BannerProps): JSX.Element {
  const { latest, wasAsked } = workshop.complaints;
  const lost = workshop.outside.feed.status.value === "lost";
  const unreached = latest.value?.status === UNREACHABLE;
  return (
    <div role="status" class="complaints">
      {latest.value === null || (lost && unreached && !wasAsked.value) // said above already
        ? null
        : <Complaint refusal={latest.value} dismiss={() => latest.value = null} />}
    </div>
  );
}

function Complaint(props: { refusal: Refusal; dismiss: () => void }): JSX.Element {
  const { refusal } = props;
  return (
    <div class="banner">
      <Sign name="cut" />
      <p>
        {words.refused}. {refusal.status === UNREACHABLE ? words.unreachable : refusal.message}
        {refusal.fields.map((field) => <span key={field}> {field}.</span>)}
        {refusal.lot === null ? null : <> <a href={links.lot(refusal.lot)}>{words.busyBench}</a></>}
      </p>
      <button type="button" onClick={props.dismiss}>{words.dismiss}</button>
    </div>
  );
}
