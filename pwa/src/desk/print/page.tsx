// The print: what it asks for, part by part; its text to be changed; and every text that ever counted.
import "./print.css";
import { useEffect } from "preact/hooks";
import { whenTold } from "../dates";
import { Editor } from "./editor";
import { type Part, type Print, begin, done, draft, learn, print, takeFile, takeUp, wrong } from "./work";

export function ThePrint() {
  useEffect(() => void learn(), []);
  const known = print.value;
  return (
    <div class="print">
      <h1>{known?.aircraft ? `The print: ${known.aircraft}, revision ${known.revision}` : "The print"}</h1>
      <p class="wrong" role="alert">{wrong.value}</p>
      <p class="done" role="status">{done.value}</p>
      {!known && !wrong.value && <p role="status">Getting the print …</p>}
      {known && (draft.value ? <Editor draft={draft.value} known={known} /> : <Shown known={known} />)}
    </div>
  );
}

const FIRST = "aircraft: \nprint revision: A\nmaterials:\n  BID: {said as: [bid], thickness: , areal weight: }\nparts:\n  first part:\n    faces: [inside, outside]\n    steps:\n      - {step: P1, face: outside, plies: 2, material: BID}\n";

function Shown({ known }: { known: Print }) {
  return (
    <>
      <section class="slip">
        {known.parts.length > 0
          ? <p>{known.parts.length} parts, {known.steps} steps with both sides counted. The plans, the kit manual and your inspector decide; this is your copy of them.</p>
          : <p>There is no print yet. Write one, or take one from a file: YAML, or a spreadsheet saved as CSV. “Write one” begins with an example; <code>plytally schedule --help</code> and <code>docs/schedule.md</code> tell how one is written.</p>}
        <div class="acts">
          <button class="chief" onClick={() => (known.text ? begin(known.text, known.kind) : begin(FIRST, "yaml"))}>{known.text ? "Change it" : "Write one"}</button>
          <TakeFile />
          {known.parts.length > 0 && <a class="act" href="/api/desk/print/checklist" download>Checklist to print</a>}
          {known.parts.length > 0 && <a class="act" href="/api/desk/print/table" download>As a spreadsheet's table</a>}
        </div>
      </section>
      {known.parts.map((part) => <OnePart key={part.part} part={part} />)}
      <Revisions known={known} />
    </>
  );
}

function TakeFile() {
  return (
    <label class="act file">
      Take a file
      <input
        type="file"
        accept=".yaml,.yml,.csv"
        onChange={(event) => {
          const [file] = event.currentTarget.files ?? [];
          if (file) void takeFile(file);
          event.currentTarget.value = "";
        }}
      />
    </label>
  );
}

const sided = (sides: readonly string[]): string => (sides.length === 2 ? "left and right, mirrored" : sides.length ? `${sides[0]} only` : "no sides");

function OnePart({ part }: { part: Part }) {
  return (
    <details class="part">
      <summary><b>{part.part}</b> <span>{sided(part.sides)}</span> <span>{part.steps.length} {part.steps.length === 1 ? "step" : "steps"}</span> <span class="refs">{part.references}</span></summary>
      <div class="wide" tabIndex={0} role="region" aria-label={`Steps of the ${part.part}`}>
        <table>
          <thead><tr><th scope="col">Step</th><th scope="col">What it asks for</th><th scope="col">After</th><th scope="col">Would spoil</th><th scope="col">Where the plans say so, and notes</th></tr></thead>
          <tbody>
            {part.steps.map((step) => (
              <tr key={step.step}>
                <th scope="row">{step.step}</th><td>{step.told}</td><td>{step.after.join(", ")}</td><td>{step.disturbs.join(", ")}</td><td>{step.more}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

function Revisions({ known }: { known: Print }) {
  if (known.revisions.length === 0) return null;
  return (
    <section class="slip">
      <h2>Every text that was the print</h2>
      <ul class="texts">
        {known.revisions.map((row, at) => (
          <li key={`${row.sha256} ${row.taken}`}>
            <span><b>Revision {row.revision}</b>, {row.aircraft}, since {whenTold(row.taken)}{at === 0 ? ": it counts" : ""}</span>
            {at > 0 && <button onClick={() => void takeUp(row)}>Look at what going back would change</button>}
          </li>
        ))}
      </ul>
    </section>
  );
}
