import type { JSX } from "preact";

interface PickProps {
  label: string;
  /** The chosen value; null is all of them. */
  now: string | null;
  known: readonly string[];
  /** What stands for all of them. */
  any: string;
  /** A value in words. */
  name?: (value: string) => string;
  pick: (value: string | null) => void;
}

/** A choice of one value or all of them. */
export function Pick(props: PickProps): JSX.Element {
  const { label, now, known, any, name = (value) => value, pick } = props;
  const values = [...new Set(now === null ? known : [...known, now])];
  return (
    <label>
      {label}
      <select value={now ?? ""} onChange={(event) => pick(event.currentTarget.value || null)}>
        <option value="">{any}</option>
        {values.map((value) => <option key={value} value={value}>{name(value)}</option>)}
      </select>
    </label>
  );
}
