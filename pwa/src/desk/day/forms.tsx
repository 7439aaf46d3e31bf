// The small forms in which something is typed: a value, other words, two entries of one, a reason.
import { signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { ask, whyNot } from "../ask";
import { seen } from "./request";
import type { Entry, Row } from "./shapes";
import { Note } from "./note";
import { act, say, teach } from "./state";

export type Form =
  | { kind: "field"; field: string; doubt: boolean }
  | { kind: "reword" | "split" | "withdraw" }
  | { kind: "note"; files?: FileList }
  | { kind: "join"; rows: readonly Row[] };

export const form = signal<Form | null>(null);
export const openForm = (which: Form): void => {
  form.value = which;
  say("");
};
const close = (): void => {
  form.value = null;
  if (!teach.value) document.querySelector<HTMLElement>("[data-entry][aria-current]")?.focus();
};

export function Forms({ entry }: { entry: Entry | null }) {
  const which = form.value;
  if (which?.kind === "note") return <Note files={which.files} />;
  if (which?.kind === "join") return <Join rows={which.rows} />;
  if (!which || !entry) return null;
  if (which.kind === "field") return <Field key={which.field} entry={entry} field={which.field} doubt={which.doubt} />;
  if (which.kind === "reword") return <Reword entry={entry} />;
  if (which.kind === "split") return <Split entry={entry} />;
  return <Withdraw entry={entry} />;
}

export function Sheet({ title, go, does, children }: { title: string; does: string; go(): Promise<unknown>; children: ComponentChildren }) {
  const sheet = useRef<HTMLFormElement>(null);
  useLayoutEffect(() => { // before it is painted: what is typed at once goes into the field, not to the keys
    const field = sheet.current?.querySelector("input");
    field?.focus();
    field?.select();
  }, []);
  return (
    <form ref={sheet} class="asksheet stacked" aria-label={title}
      onSubmit={(event) => { event.preventDefault(); void go().then((done) => { if (done) close(); }); }}
      onKeyDown={(event) => { if (event.key === "Escape") { event.preventDefault(); close(); } }}>
      <h3>{title}</h3>
      {children}
      <div class="row"><button type="submit">{does}</button><button type="button" onClick={close}>Leave it <kbd>Esc</kbd></button></div>
    </form>
  );
}

export function Line({ label, value, set, hint }: { label: string; value: string; hint?: string; set(value: string): void }) {
  return <label>{label} <input value={value} autocomplete="off" placeholder={hint} onInput={(event) => set(event.currentTarget.value)} /></label>;
}

interface Meaning {
  makes: string;
  line: string;
  questions: string[];
  unknown: string[];
}

/** What the typed words would become, while they are typed. */
export function Reads({ words, of }: { words: string; of: readonly Row[] }) {
  const [told, setTold] = useState<Meaning | string | null>(null);
  useEffect(() => {
    if (!words.trim()) {
      setTold(null);
      return undefined;
    }
    let stale = false;
    const timer = setTimeout(() => {
      ask<Meaning>("POST", "/api/desk/meaning", { words, instead_of: of.map((row) => row.id) }).then(
        (meaning) => { if (!stale) setTold(meaning); },
        (problem) => { if (!stale) setTold(whyNot(problem)); },
      );
    }, 200);
    return () => {
      stale = true;
      clearTimeout(timer);
    };
  }, [words]);
  if (told === null) return <p class="reads" />;
  if (typeof told === "string") return <p class="reads wrong">{told}</p>;
  return (
    <p class="reads" role="status">
      {told.makes === "entry" ? <>Becomes <b>{told.line}</b></> : "This is no entry but a question or a command."}
      {told.questions.map((question) => <span key={question} class="open">{question}</span>)}
      {told.unknown.length > 0 && <span>Not in the vocabulary: {told.unknown.join(", ")}</span>}
    </p>
  );
}

function Field({ entry, field, doubt }: { entry: Entry; field: string; doubt: boolean }) {
  const known = entry.fields.find((each) => each.field === field);
  const [words, setWords] = useState(known?.told ?? "");
  const label = known?.label ?? field;
  const go = (): Promise<unknown> => act(
    doubt ? { act: "answer", entries: [seen(entry)], field, choice: "words", words } : { act: "correct", entries: [seen(entry)], field, words },
    words.trim() ? `${label} is ${words} now; the old value stays in the history.` : `${label} is taken out; the old value stays in the history.`,
  );
  return (
    <Sheet title={`The right ${label}`} does="Write it" go={go}>
      <Line label={label} value={words} set={setWords} hint="empty takes it out" />
    </Sheet>
  );
}

function Reword({ entry }: { entry: Entry }) {
  const [words, setWords] = useState(entry.said);
  return (
    <Sheet title="Say the whole entry in other words" does="Write it so" go={() => act({ act: "reword", entries: [seen(entry)], words }, "The entry says something else now; the old words stay in the history.")}>
      <Line label="What was done" value={words} set={setWords} hint="laid two plies bid on the right elevator spar aft face" />
      <Reads words={words} of={[entry]} />
    </Sheet>
  );
}

function Split({ entry }: { entry: Entry }) {
  const [one, setOne] = useState(entry.said);
  const [other, setOther] = useState("");
  return (
    <Sheet title="Two entries of this one" does="Split it" go={() => act({ act: "split", entries: [seen(entry)], parts: [one, other] }, "Split into two, at the same time and with the same sound and photos; the old one is withdrawn.")}>
      <Line label="The first" value={one} set={setOne} />
      <Reads words={one} of={[entry]} />
      <Line label="The second" value={other} set={setOther} />
      <Reads words={other} of={[entry]} />
    </Sheet>
  );
}

function Join({ rows }: { rows: readonly Row[] }) {
  const [words, setWords] = useState(rows.map((row) => row.said).join(" "));
  return (
    <Sheet title={`One entry of ${rows.length}`} does="Join them" go={() => act({ act: "join", entries: rows.map(seen), words }, "Joined into one, with all their sounds and photos; the old ones are withdrawn.")}>
      <Line label="What was done" value={words} set={setWords} />
      <Reads words={words} of={rows} />
    </Sheet>
  );
}

function Withdraw({ entry }: { entry: Entry }) {
  const [why, setWhy] = useState("");
  return (
    <Sheet title="Withdraw this entry" does="Withdraw it" go={() => act({ act: "withdraw", entries: [seen(entry)], why }, "Withdrawn: it counts no more and stays readable.")}>
      <Line label="Why" value={why} set={setWhy} hint="noted twice" />
    </Sheet>
  );
}
