// A day's entries, one strip of paper each: when, how it stands, what it says.
import { useEffect, useRef } from "preact/hooks";
import { timeTold } from "../dates";
import type { Row, Stands } from "./shapes";
import { marked } from "./state";

/** How an entry stands, by a sign, a word and a line: never by colour alone. */
export const STANDS: Record<Stands, { sign: string; word: string }> = {
  open: { sign: "?", word: "in doubt" },
  unseen: { sign: "○", word: "not seen yet" },
  accepted: { sign: "✓", word: "accepted" },
  withdrawn: { sign: "×", word: "withdrawn" },
};

export function List({ rows, chosen, choose }: { rows: readonly Row[]; chosen: string; choose(id: string): void }) {
  return (
    <ol class="strips" aria-label="Entries of the day">
      {rows.map((row) => <Strip key={row.id} row={row} chosen={row.id === chosen} choose={() => choose(row.id)} />)}
    </ol>
  );
}

function Strip({ row, chosen, choose }: { row: Row; chosen: boolean; choose(): void }) {
  const strip = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (chosen) strip.current?.scrollIntoView({ block: "nearest" });
  }, [chosen]);
  const stands = STANDS[row.stands];
  const sounds = row.attachments.filter((each) => each.role !== "photo").length;
  const photos = row.attachments.length - sounds;
  return (
    <li class={`strip-${row.stands}`}>
      <button ref={strip} class="entry" data-entry={row.id} aria-current={chosen ? "true" : undefined} onClick={choose}>
        <span class="when">{timeTold(row.wall)}</span>
        <span class="sign" aria-hidden="true">{stands.sign}</span>
        <span class="what">
          <span class="line">{row.line}</span>
          <span class="small">
            {stands.word}, {row.author}
            {sounds > 0 && ", sound"}{photos > 0 && (photos === 1 ? ", photo" : `, ${photos} photos`)}
            {marked.value.has(row.id) && <b class="mark">, marked</b>}
          </span>
        </span>
      </button>
    </li>
  );
}
