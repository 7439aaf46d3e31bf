// The entry that is looked at: its doubts first, then what was heard, photos, fields, what can be done, history.
import { offsetTold, timeTold, whenTold } from "../dates";
import { face } from "../keys";
import { STANDS } from "./list";
import { openForm } from "./forms";
import { Photos } from "./photos";
import { seen } from "./request";
import type { By, Doubt, Entry, FieldTold } from "./shapes";
import { Sound } from "./sound";
import { act, day } from "./state";

export interface Deed {
  key: string;
  does: string;
  act(): void;
}

export function Detail({ entry, deeds }: { entry: Entry; deeds: readonly Deed[] }) {
  const stands = STANDS[entry.stands];
  return (
    <article class="slip detail" data-of={entry.id} aria-label="The entry">
      <header>
        <h2>{entry.line}</h2>
        <p class="small">
          {timeTold(entry.wall)} {offsetTold(entry.wall)}, {entry.author}, {deviceTold(entry.device)}
          {entry.ahead_ms > 0 && ", by a clock that ran ahead"}
          {entry.made_from.length > 0 && `, made from ${entry.made_from.length === 1 ? "another entry" : `${entry.made_from.length} entries`}`}
        </p>
        <p class={`stamp ${entry.stands}`}><span aria-hidden="true">{stands.sign}</span> {stands.word}
          {entry.accepted && ` by ${entry.accepted.author}, ${whenTold(entry.accepted.wall)}`}
          {entry.withdrawn && `: ${entry.withdrawn}`}
        </p>
      </header>
      {entry.withdrawn === null && entry.doubts.map((doubt, at) => <Question key={doubt.field} entry={entry} doubt={doubt} first={at === 0} />)}
      <Sound entry={entry} />
      <Photos entry={entry} />
      <Fields entry={entry} />
      <div class="deeds" role="group" aria-label="What can be done">
        {deeds.filter((deed) => !/^[1-9tp]$/.test(deed.key)).map((deed) => <button key={deed.key} class={deed.key === "a" && (entry.withdrawn !== null || entry.doubts.length === 0) ? "chief" : ""} onClick={deed.act}>{deed.does} <kbd>{face(deed.key)}</kbd></button>)}
      </div>
      <History entry={entry} />
    </article>
  );
}

export const deviceTold = (device: string): string => day.value?.devices[device] ?? device;

/** Answer a doubt with one of its choices, counted from 1. */
export function choose(entry: Entry, doubt: Doubt | undefined, number: number): void {
  const choice = doubt?.choices[number - 1];
  if (!doubt || !choice) return;
  void act({ act: "answer", entries: [seen(entry)], field: doubt.field, choice: choice.choice }, `${doubt.label}: ${choice.told}`);
}

function Question({ entry, doubt, first }: { entry: Entry; doubt: Doubt; first: boolean }) {
  const standing = entry.standing.find((each) => each.field === doubt.field);
  return (
    <section class="question" aria-label={`In doubt: ${doubt.label}`}>
      <p><b aria-hidden="true">? </b>{doubt.question}</p>
      {standing && <ul class="by">{standing.values.map((value) => <li key={value.operation}><b>{value.told}</b> {byTold(value)}</li>)}</ul>}
      <div class="row">
        {doubt.choices.map((choice, at) => (
          <button key={choice.choice} onClick={() => choose(entry, doubt, at + 1)}>{first && <kbd>{at + 1}</kbd>} {choice.told}</button>
        ))}
        {doubt.in_words && <button onClick={() => openForm({ kind: "field", field: doubt.field, doubt: true })}>{first && <kbd>t</kbd>} type it</button>}
      </div>
    </section>
  );
}

/** Who said it and where; the second hearing is the shop computer's own. */
const who = (by: By): string => by.author === "second hearing" ? "the shop computer's second hearing" : `${by.author}, ${deviceTold(by.device)}`;

const byTold = (by: By): string => `${who(by)}, ${whenTold(by.wall)}${by.why ? `: “${by.why}”` : ""}`;

function Fields({ entry }: { entry: Entry }) {
  const given = entry.fields.filter((each) => each.told || each.in_doubt);
  const rest = entry.fields.filter((each) => !each.told && !each.in_doubt);
  return (
    <section aria-label="Fields">
      <dl class="fields">
        <div><dt>kind</dt><dd>{entry.kind_told}</dd></div>
        {given.map((each) => <Field key={each.field} each={each} fixable={entry.withdrawn === null} />)}
      </dl>
      {rest.length > 0 && entry.withdrawn === null && (
        <details><summary>Other fields of this kind</summary><dl class="fields">{rest.map((each) => <Field key={each.field} each={each} fixable />)}</dl></details>
      )}
    </section>
  );
}

function Field({ each, fixable }: { each: FieldTold; fixable: boolean }) {
  return (
    <div class={each.in_doubt ? "doubted" : ""}>
      <dt>{each.label}{each.in_doubt && <span aria-hidden="true"> ?</span>}</dt>
      <dd>{each.told || <span class="small">not said</span>}{each.beside && <span class="small"> ({each.beside})</span>}</dd>
      {fixable && <dd class="fix"><button data-fix={each.field} aria-label={`correct ${each.label}`} onClick={() => openForm({ kind: "field", field: each.field, doubt: false })}>correct</button></dd>}
    </div>
  );
}

const ACTS: Record<string, string> = { note: "noted", amend: "changed", resolve: "settled", withdraw: "withdrew it" };

function History({ entry }: { entry: Entry }) {
  return (
    <details class="history" open={entry.history.length > 1}>
      <summary>History: {entry.history.length === 1 ? "nothing was changed" : `${entry.history.length - 1} ${entry.history.length === 2 ? "change" : "changes"}`}</summary>
      <ol>
        {entry.history.map((each) => (
          <li key={each.operation}>
            <span class="small">{whenTold(each.wall)}, {who(each)}</span><br />
            <Change each={each} />
            {each.asked.map((question) => <span class="asked" key={question}>? {question}</span>)}
            {each.why && each.asked.length === 0 && <span class="small"> “{each.why}”</span>}
          </li>
        ))}
      </ol>
    </details>
  );
}

function Change({ each }: { each: Entry["history"][number] }) {
  if (each.field === "accepted") return <>accepted as it stood</>;
  if (each.field === "taught") return <>taught, in the list {each.after}</>;
  if (each.act === "note") return <>noted: <ins>{each.after}</ins></>;
  if (each.asked.length > 0 && each.before === each.after) return <>put {each.label} in doubt</>;
  if (each.field === "withdrawn") return each.act === "withdraw" ? <>withdrew it</> : <>brought it back</>;
  if (each.act === "resolve" && (each.after === "nothing" || each.before === each.after)) return <>confirmed {each.label}{each.after !== "nothing" && <>: <ins>{each.after}</ins></>}</>;
  return <>{ACTS[each.act] ?? each.act} {each.label}: {each.before && <><del>{each.before}</del> → </>}<ins>{each.after}</ins></>;
}
