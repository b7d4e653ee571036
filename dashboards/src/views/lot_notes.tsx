import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { UNREACHABLE } from "../feed/refusal.ts";
import type { Refusal } from "../feed/refusal.ts";
import type { NotesModel } from "../models/notes.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { Note } from "../types.ts";
import { notes as words, page } from "../words.ts";
import "./lot_notes.css";
import { TakeBackForm } from "./take_back_form.tsx";

const LONGEST = 2_000;
/** From how few characters on it is said how many are left. */
const NEAR_END = 200;

interface NotesProps {
  wall: WallTime;
  model: NotesModel;
  notes: readonly Note[];
}

/** What people wrote about a lot, and room for more. */
export function LotNotes({ wall, model, notes }: NotesProps): JSX.Element {
  return (
    <div class="written">
      <h3>{words.list}</h3>
      <NoteEditor model={model} />
      {notes.length === 0 ? <p class="soft">{words.none}</p> : (
        <ol aria-label={words.list}>
          {notes.map((note) => <NoteEntry key={note.id} wall={wall} model={model} note={note} />)}
        </ol>
      )}
    </div>
  );
}

function NoteEditor({ model }: { model: NotesModel }): JSX.Element {
  const text = model.draft.text.value;
  const left = LONGEST - text.length;
  const failed = model.failed.value;
  const send = (event: Event): void => {
    event.preventDefault();
    void model.send();
  };
  const key = (event: KeyboardEvent): void => {
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) send(event);
  };
  return (
    <form aria-label={words.write} onSubmit={send}>
      <label>
        {words.write}
        <textarea
          rows={3} maxLength={LONGEST} value={text} onKeyDown={key}
          onInput={(event) => model.draft.write(event.currentTarget.value)}
        />
      </label>
      {left > NEAR_END ? null : <p class="soft" role="status">{words.left(left)}</p>}
      <p class="missing" role="alert">
        {failed === null ? null : <>{words.notKept} {reasonOf(failed)}</>}
      </p>
      <button type="submit" disabled={text.trim() === ""} aria-disabled={model.busy.value}>
        {model.busy.value ? words.sending : words.send}
        <small>{words.key}</small>
      </button>
    </form>
  );
}

function reasonOf(refusal: Refusal): string {
  return refusal.status === UNREACHABLE ? page.unreachable : refusal.message;
}

interface EntryProps {
  wall: WallTime;
  model: NotesModel;
  note: Note;
}

function NoteEntry({ wall, model, note }: EntryProps): JSX.Element {
  const [asked, ask] = useState(false);
  const at = wall.moment(note.at);
  const { removed } = note;
  return (
    <li>
      <p class="soft digits">{at}</p>
      <p class="text">{removed === null ? note.text : <s>{note.text}</s>}</p>
      {removed === null
        ? null
        : <p>{words.takenBack(wall.moment(removed.at), removed.reason)}</p>}
      {removed !== null || asked ? null : (
        <button type="button" aria-label={words.takeBackNote(at)} onClick={() => ask(true)}>
          {words.takeBack}
        </button>
      )}
      {!asked || removed !== null ? null : (
        <TakeBackForm
          label={words.takeBackNote(at)} what={words.notesStay} does={words.sureNote}
          submit={(reason) => model.takeBack(note.id, reason)} cancel={() => ask(false)}
        />
      )}
    </li>
  );
}
