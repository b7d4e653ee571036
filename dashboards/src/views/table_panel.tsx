import type { ComponentChildren, JSX } from "preact";

interface TablePanelProps {
  title: string;
  /** What to say in place of a table without rows. */
  empty: string | null;
  /** A sentence above the table. */
  note?: string;
  children: ComponentChildren;
}

/** A titled table that scrolls by itself where the screen is narrow, by key too. */
export function TablePanel({ title, empty, note, children }: TablePanelProps): JSX.Element {
  return (
    <section class="panel" aria-label={title}>
      <h2>{title}</h2>
      {note === undefined ? null : <p class="soft">{note}</p>}
      {empty !== null ? <p>{empty}</p> : (
        <div class="scroll" role="group" aria-label={title} tabIndex={0}>
          <table>{children}</table>
        </div>
      )}
    </section>
  );
}
