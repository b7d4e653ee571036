import type { ComponentChildren, JSX } from "preact";

interface TablePanelProps {
  title: string;
  /** What to say in place of a table without rows. */
  empty: string | null;
  /** A sentence above the table. */
  note?: string;
  /** What stands below the table. */
  below?: JSX.Element | null;
  children: ComponentChildren;
}

/** A titled table that scrolls by itself where the screen is narrow, by key too. */
export function TablePanel(props: TablePanelProps): JSX.Element {
  const { title, empty, note, below = null, children } = props;
  return (
    <section class="panel" aria-label={title}>
      <h2>{title}</h2>
      {note === undefined ? null : <p class="soft">{note}</p>}
      {empty !== null ? <p>{empty}</p> : (
        <div class="scroll" role="group" aria-label={title} tabIndex={0}>
          <table>{children}</table>
        </div>
      )}
      {below}
    </section>
  );
}
