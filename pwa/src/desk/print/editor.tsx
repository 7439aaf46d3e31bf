// The print's text with its mistakes beside their lines; beside it what the text would change, also in what is laid.
import { useEffect, useMemo, useRef } from "preact/hooks";
import { type Compared, type Draft, type Print, type Trouble, compared, comparedAnew, drop, makeItCount, write, wrong } from "./work";

export function Editor({ draft, known }: { draft: Draft; known: Print }) {
  const found = compared.value;
  const moved = draft.base !== known.base;
  const same = draft.text === known.text && draft.kind === known.kind;
  useEffect(() => {
    const ask = (event: BeforeUnloadEvent): void => event.preventDefault();
    addEventListener("beforeunload", ask);
    return () => removeEventListener("beforeunload", ask);
  }, []);
  return (
    <div class="writing-print">
      <Text draft={draft} problems={found?.problems ?? []} />
      <div class="beside-text">
        <section class="slip" aria-live="polite">
          {!found && !wrong.value && <p role="status">Looking at it …</p>}
          {found && (found.problems.length > 0 ? <Problems problems={found.problems} /> : <Changes found={found} same={same} first={!known.text} />)}
        </section>
        {moved && (
          <section class="slip">
            <p class="wrong">Another text was made the print since you began.</p>
            <button onClick={() => void comparedAnew()}>Compare with that one</button>
          </section>
        )}
        <div class="acts">
          <button class="chief" disabled={!found || found.problems.length > 0 || same || moved} onClick={() => void makeItCount()}>Make this the print that counts</button>
          <button onClick={() => { if (same || confirm("Give up what you have written here? The print that counts is not touched.")) drop(); }}>Give it up</button>
        </div>
        <p class="note">What you write stays in this browser until you make it count or give it up.</p>
      </div>
    </div>
  );
}

const goTo = (line: number): void => {
  const text = document.getElementById("print-text") as HTMLTextAreaElement | null;
  if (!text) return;
  const lines = text.value.split("\n");
  const start = lines.slice(0, Math.max(0, line - 1)).reduce((sum, each) => sum + each.length + 1, 0);
  text.focus();
  text.setSelectionRange(start, start + (lines[line - 1]?.length ?? 0));
  text.scrollTop = (line - 4) * (text.scrollHeight / Math.max(1, lines.length));
};

function Text({ draft, problems }: { draft: Draft; problems: readonly Trouble[] }) {
  const gutter = useRef<HTMLDivElement>(null);
  const count = draft.text.split("\n").length;
  const numbers = useMemo(() => Array.from({ length: count }, (_, at) => at + 1).join("\n"), [count]);
  const bad = new Map<number, string>();
  for (const each of problems) bad.set(each.line, [bad.get(each.line), each.message].filter(Boolean).join("; "));
  return (
    <div class="sheet-of-text">
      <div class="gutter" ref={gutter} aria-hidden="true">
        <pre>{numbers}</pre>
        {[...bad].filter(([line]) => line > 0).map(([line, why]) => (
          <div key={line} class="bad" style={{ top: `calc(.5rem + ${line - 1} * 1.5rem)` }} title={why}>✕ {line}</div>
        ))}
      </div>
      <textarea
        id="print-text"
        aria-label={draft.kind === "csv" ? "The print as a table of rows, CSV" : "The print as text, YAML"}
        aria-invalid={problems.length > 0}
        aria-describedby={problems.length > 0 ? "print-problems" : undefined}
        spellcheck={false}
        autocomplete="off"
        wrap="off"
        value={draft.text}
        onInput={(event) => write({ ...draft, text: event.currentTarget.value })}
        onScroll={(event) => { if (gutter.current) gutter.current.scrollTop = event.currentTarget.scrollTop; }}
      />
    </div>
  );
}

function Problems({ problems }: { problems: readonly Trouble[] }) {
  return (
    <>
      <h2>{problems.length === 1 ? "One mistake" : `${problems.length} mistakes`}</h2>
      <ul class="problems" id="print-problems">
        {problems.map((each) => (
          <li key={`${each.line} ${each.message}`}>
            {each.line > 0 && <button onClick={() => goTo(each.line)}>{each.counted} {each.line}</button>}
            <span>{each.message}</span>
          </li>
        ))}
      </ul>
    </>
  );
}

function Changes({ found, same, first }: { found: Compared; same: boolean; first: boolean }) {
  if (same) return <p>This is the print that counts, word for word.</p>;
  return (
    <>
      <p><b>{found.told}</b></p>
      {first ? <p>It is the first print.</p> : (
        <>
          <h2>What this changes in what is already laid</h2>
          <ul class="effects">{found.effects.map((line) => <li key={line}>{line}</li>)}</ul>
          <h2>What is different from the print that counts</h2>
          <ul class="differences">{found.changes.map((line) => <li key={line}>{line}</li>)}</ul>
        </>
      )}
    </>
  );
}
