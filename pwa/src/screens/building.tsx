// An entry by large buttons, for gloves and for words that are not heard: one choice after the other, from the
// print's own names. What comes of it is a sentence, and it goes the same way as a written one.
import "./building.css";
import { useEffect, useLayoutEffect, useState } from "preact/hooks";
import type { Choice, Chosen } from "../understand/messages";
import * as state from "../state";
import { type Picked, dropHalfBuilt, keepHalfBuilt, leftHalfBuilt } from "../work/half_built";
import { chosen, retell } from "../work/retelling";
import { keepWritten } from "../work/writing";
import { Span } from "./building_span";

const AT_ONCE = 6;
const KEYS = ["1", "2", "3", ".", "4", "5", "6", "0", "7", "8", "9"];
const QUESTIONS: Record<string, string> = {
  kind: "What was done?",
  part: "Which part?",
  side: "Which side?",
  face: "Which face?",
  feature: "Where on it?",
  station: "At which station?",
  plies: "How many plies?",
  material: "Which cloth?",
  orientation: "Which way does it run?",
  batch: "Which batch?",
  mass: "How much?",
  resin: "Which resin?",
  ratio: "Resin to hardener?",
  gauge: "What does the gauge show?",
  quality: "What was measured?",
  measure: "How much is it?",
  grit: "Which grit?",
  holes: "How many holes?",
  item: "Which item?",
  by: "By whom?",
  category: "Which work?",
  temperature: "How warm?",
  humidity: "How humid?",
  clock: "Which clock?",
  when: "How long, or until when?",
};

const today = (): string => new Date().toDateString();

/** `about`: the note that this tells anew, null for one of its own; `kind`: what was done is known already. */
export function Building({ about, kind, close: gone }: { about: string | null; kind?: string | undefined; close(): void }) {
  const begun: Picked = kind ? [["kind", kind]] : [];
  const [before] = useState(leftHalfBuilt(about, kind));
  const [picked, setPicked] = useState<Picked>(before?.picked ?? begun);
  const [number, setNumber] = useState(before?.number ?? "");
  const [day, setDay] = useState(before?.day ?? today());
  const [known, setKnown] = useState<{ of: Picked; chosen: Chosen | null } | null>(null);
  const now = known?.chosen ?? null;
  /** Until the next question is there, a touch that was meant for the last one counts for nothing. */
  const fresh = known?.of === picked;
  useEffect(() => {
    let here = true;
    void chosen(Object.fromEntries(picked)).then((found) => here && setKnown({ of: picked, chosen: found }));
    return () => {
      here = false;
    };
  }, [picked, state.mindPower.value.kind]);
  useLayoutEffect(() => keepHalfBuilt({ about, kind, picked, number, day }), [about, kind, picked, number, day]);
  const more = picked.length > begun.length;
  const close = (): void => {
    dropHalfBuilt();
    gone();
  };
  const back = (): void => {
    setNumber("");
    if (more) setPicked(picked.slice(0, -1));
    else close();
  };
  const pick = (value: string): void => {
    if (!fresh || !now?.ask) return;
    if (now.ask.steps.length > 0) setDay(today());
    setPicked([...picked, [now.ask.field, value]]);
    setNumber("");
  };
  const keep = async (): Promise<void> => {
    if (!fresh) return;
    const when = picked.findIndex(([field]) => field === "when");
    if (when >= 0 && day !== today()) return setPicked(picked.slice(0, when)); // "tomorrow" is another day by now
    const sentence = now?.sentence ?? "";
    if (about === null ? await keepWritten(sentence) : await retell(about, sentence)) close();
  };
  const ask = now?.ask ?? null;
  const power = state.mindPower.value;
  const whole = now !== null && now.sentence !== "" && (ask === null || ask.optional);
  return (
    <section class="building" aria-label="An entry by touch">
      <p class="sentence" aria-live="polite">{now?.sentence || picked.map(([, value]) => value.replaceAll("_", " ")).filter(Boolean).join(", ")}</p>
      {now === null && <p>{power.kind === "off" ? `This phone cannot do that: ${power.why}. Close it, and write or say it.` : "Reading the print …"}</p>}
      {ask && <h2 class="question">{QUESTIONS[ask.field] ?? ask.field}</h2>}
      {ask && ask.choices.length > 0 && <Choices key={ask.field} choices={ask.choices} pick={pick} />}
      {ask && ask.units.length > 0 && <Pad key={ask.field} units={ask.units} pick={pick} number={number} setNumber={setNumber} />}
      {ask && ask.steps.length > 0 && <Span key={ask.field} steps={ask.steps} pick={pick} />}
      <div class="row">
        <button class="tool" onClick={back}>{more ? "Back" : "Close"}</button>
        {ask?.optional && <button class="tool" onClick={() => pick("")}>Leave out</button>}
        {whole && <button class="tool take" onClick={() => void keep()}>Keep</button>}
      </div>
    </section>
  );
}

function Choices({ choices, pick }: { choices: Choice[]; pick(value: string): void }) {
  const [page, setPage] = useState(0);
  const some = choices.length > AT_ONCE ? AT_ONCE - 1 : AT_ONCE;
  const pages = Math.ceil(choices.length / some);
  return (
    <div class="choices">
      {choices.slice(page * some, (page + 1) * some).map(({ value, label }) => (
        <button key={value} class="tool" onClick={() => pick(value)}>{label}</button>
      ))}
      {pages > 1 && (
        <button class="tool others" onClick={() => setPage((page + 1) % pages)}>Others<small>{page + 1} of {pages}</small></button>
      )}
    </div>
  );
}

function Pad({ units, pick, number, setNumber }: { units: string[]; pick(value: string): void; number: string; setNumber(number: string): void }) {
  const press = (key: string): void => {
    if (number.length < 7 && !(key === "." && number.includes("."))) setNumber(number + key);
  };
  const good = /^[0-9]*\.?[0-9]+$/.test(number);
  return (
    <div class="pad">
      <output class="number" aria-live="polite">{number || " "}</output>
      {KEYS.map((key) => <button key={key} class="tool" onClick={() => press(key)}>{key}</button>)}
      <button class="tool" aria-label="Take the last digit back" onClick={() => setNumber(number.slice(0, -1))}>⌫</button>
      <div class="row">
        {units.map((unit) => (
          <button key={unit} class="tool take" disabled={!good} onClick={() => pick(`${number} ${unit}`.trim())}>{unit || "That many"}</button>
        ))}
      </div>
    </div>
  );
}
