// What a sum came to: verdicts, each answer with its working, the cautions once, and the place to keep it.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Answer, Card, Found, Where } from "../../understand/sums";
import { cards, found, keepSum, keptAs } from "../../work/summing";
import { Drawn } from "./curve";

export function Answered({ card }: { card: Card }) {
  const answer = found.value;
  const here = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (answer) here.current?.scrollIntoView({ block: "start" });
  }, [answer]);
  return (
    <div ref={here} aria-live="polite">
      {answer && (answer.wrong ? <Refused where={answer.wrong.where} why={answer.wrong.why} /> : <Told card={card} answer={answer} />)}
    </div>
  );
}

function Refused({ where, why }: { where: string; why: string }) {
  return (
    <section class="refused">
      <h2>That cannot be worked out</h2>
      <p>{where && <b>{where}: </b>}{why}.</p>
    </section>
  );
}

function Told({ card, answer }: { card: Card; answer: Extract<Found, { wrong: null }> }) {
  const first = answer.parts.findIndex((part) => typeof part !== "string");
  const verdicts = first < 0 ? answer.parts.length : first;
  return (
    <section class="came">
      <h2>It comes to</h2>
      {answer.parts.slice(0, verdicts).map((part, at) => <Part key={at} part={part} />)}
      {answer.curves.map((curve, at) => <Drawn key={at} curve={curve} />)}
      {answer.parts.slice(verdicts).map((part, at) => <Part key={at} part={part} />)}
      {answer.cautions.length > 0 && (
        <div class="cautions">
          <h3>Watch for</h3>
          {answer.cautions.map((caution) => <p key={caution}>{caution}</p>)}
        </div>
      )}
      <Keep card={card} />
    </section>
  );
}

function Part({ part }: { part: string | Answer }) {
  return typeof part === "string" ? <p class="verdict">{part}</p> : <Working answer={part} />;
}

function Working({ answer }: { answer: Answer }) {
  return (
    <div class="working">
      <p class="what">{answer.what}</p>
      <p class="figure">{answer.shown}</p>
      <dl>
        <dt>formula</dt><dd>{answer.formula}</dd>
        {answer.inputs.length > 0 && <><dt>from</dt><dd>{answer.inputs.map((input) => `${input.name} ${input.value}`).join(" · ")}</dd></>}
        <dt>source</dt><dd>{answer.source}</dd>
      </dl>
    </div>
  );
}

const placeShown = (where: Where): string => ["side", "part", "face", "feature", "station"].map((name) => where[name]).filter(Boolean).join(" ");

function Keep({ card }: { card: Card }) {
  const [chosen, setChosen] = useState("");
  const known = cards.value;
  const places = [...(known?.last["part"] ? [known.last] : []), ...(known?.places ?? [])];
  const kept = keptAs.value;
  return (
    <div class="keep">
      {places.length > 0 && (
        <label>Where, if it is about a part
          <select value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
            <option value="">no part</option>
            {places.map((where, at) => <option key={at} value={String(at)}>{placeShown(where)}</option>)}
          </select>
        </label>
      )}
      <button class="glove" disabled={kept !== null && !kept.wrong} onClick={() => void keepSum(card, places[Number(chosen || "-1")] ?? {})}>Keep it in the log</button>
      {kept && <p role="status" class={kept.wrong ? "open" : "done"}>{kept.line}</p>}
    </div>
  );
}
