import type { ComponentChildren, JSX } from "preact";
import type { InstrumentsModel, Latest } from "../models/instruments.ts";
import { duration } from "../models/quantities.ts";
import type { Shown } from "../models/quantities.ts";
import type { WallTime } from "../models/wall_time.ts";
import { reading as words } from "../words.ts";
import { Digits } from "./digits.tsx";
import "./figure.css";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

interface FigureProps {
  title: string;
  aside: string;
  shown: Shown | null;
  /** Not to be taken for the present value. */
  doubtful: boolean;
  /** Present, but of no use for what is being done. */
  idle?: boolean;
  /** Where it stands, in its spoken name, where others of its kind are on the page. */
  within?: string | undefined;
  /** Which of the figures this is, for the order of the page. */
  name: "temperature" | "scale";
  children: ComponentChildren;
}

/** The name of a part of the page, told apart from others like it. */
export function spoken(title: string, within: string | undefined): string {
  return within === undefined ? title : `${title}, ${within}`;
}

const NOTHING = "– – –";

/** One value in digits that can be read from two meters, and what to think of it. */
export function Figure(props: FigureProps): JSX.Element {
  const { shown } = props;
  return (
    <section class={`panel figure ${props.name}`} aria-label={spoken(props.title, props.within)}>
      <header>
        <h2>{props.title}</h2>
        <p class="soft">{props.aside}</p>
      </header>
      <div class="figure-body">
        <p class={valueClass(props)}>
          {shown === null ? NOTHING : <Digits text={shown.digits} />}
          {shown === null ? null : <span class="unit">{shown.unit}</span>}
        </p>
        <div class="figure-side">{props.children}</div>
      </div>
    </section>
  );
}

/** More characters than this are set smaller. */
const LONG = 5;

function valueClass({ shown, doubtful, idle = false }: FigureProps): string {
  const long = shown !== null && shown.digits.length > LONG;
  const weight = doubtful ? " doubtful" : idle ? " idle" : "";
  return `figure-value digits${long ? " long" : ""}${weight}`;
}

interface ChipProps {
  /** `off` stands out without being an alarm; `wrong` is an abnormal state. */
  kind: "calm" | "off" | "wrong";
  sign: SignName;
  text: string;
}

export function Chip({ kind, sign, text }: ChipProps): JSX.Element {
  return <p class={`chip ${kind}`}><Sign name={sign} />{text}</p>;
}

/** What is to be said about the reading itself, if anything, before its value is judged. */
export function ReadingChip(
  props: { latest: Latest; instruments: InstrumentsModel; wall: WallTime },
): JSX.Element | null {
  const { latest, instruments } = props;
  if (latest.quality === "bad") return <Chip kind="wrong" sign="cut" text={words.bad} />;
  const doubt = instruments.doubt(latest);
  if (doubt !== null) {
    const text = words.stale[doubt](duration(instruments.age(latest)));
    return <Chip kind="wrong" sign={doubt === "lost" ? "cut" : "pause"} text={text} />;
  }
  if (latest.quality === "suspect") return <Chip kind="wrong" sign="medium" text={words.suspect} />;
  if (!latest.typed) return null;
  return <Chip kind="calm" sign="low" text={words.typed(props.wall.time(latest.takenAt))} />;
}
