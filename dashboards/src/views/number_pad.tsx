import type { JSX } from "preact";
import type { TypingModel } from "../models/typing.ts";
import { hand as words } from "../words.ts";

const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3"] as const;

/** Digits for a waxy thumb, in the order of a calculator. */
export function NumberPad({ typing }: { typing: TypingModel }): JSX.Element {
  return (
    <div class="number-pad">
      {KEYS.map((key) => <Key key={key} label={key} press={() => typing.press(key)} />)}
      <Key label="." said={words.point} press={() => typing.press(".")} />
      <Key label="0" press={() => typing.press("0")} />
      <Key label="⌫" said={words.back} press={() => typing.back()} />
    </div>
  );
}

function Key(props: { label: string; said?: string; press: () => void }): JSX.Element {
  const { label, said, press } = props;
  return (
    <button type="button" onClick={press} aria-label={said ?? label}>{label}</button>
  );
}
