// What was heard, word by word: touch one to hear it from its own moment in the recording.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Attached, Entry, Heard, HeardWord } from "./shapes";

const BEFORE_S = 0.15;
const HEARERS: Record<string, string> = { phone: "The phone heard", "shop computer": "The shop computer heard" };

export function Sound({ entry }: { entry: Entry }) {
  const sounds = entry.attachments.filter((each) => each.role !== "photo" && each.mime.startsWith("audio/"));
  const lone = entry.heard.filter((each) => !sounds.some((sound) => sound.operation === each.attachment));
  if (sounds.length === 0 && lone.length === 0) {
    return entry.said ? <p class="typed"><span class="small">Typed:</span> “{entry.said}”</p> : null;
  }
  return (
    <section class="sound" aria-label="What was heard">
      {sounds.map((sound, at) => (
        <Recording key={sound.operation} sound={sound} first={at === 0} heard={entry.heard.filter((each) => each.attachment === sound.operation)} />
      ))}
      {lone.map((each) => <Words key={each.where} heard={each} at={-1} />)}
      {entry.differing.length > 0 && <Differing rows={entry.differing} />}
    </section>
  );
}

const ROLES: Record<string, string> = { correction: "The correction", source: "The recording it was made from" };

function Recording({ sound, heard, first }: { sound: Attached; heard: readonly Heard[]; first: boolean }) {
  const player = useRef<HTMLAudioElement>(null);
  const [at, setAt] = useState(-1);
  const [wrong, setWrong] = useState(false);
  const from = (word: HeardWord): void => {
    const audio = player.current;
    if (!audio) return;
    audio.currentTime = Math.max(0, word.start - BEFORE_S);
    void audio.play().catch(() => setWrong(true));
  };
  return (
    <div class="recording">
      {ROLES[sound.role] && <p class="small">{ROLES[sound.role]}</p>}
      {heard.filter((each, number) => number === 0 || !alike(each, heard[0])).map((each) => (
        <Words key={each.where} heard={each} both={heard.length > 1 && heard.every((other) => alike(other, heard[0]))} at={at} from={from} />
      ))}
      <audio ref={player} controls preload="metadata" src={`/api/media/${sound.media}`} data-first={first || undefined}
        onTimeUpdate={(event) => setAt(event.currentTarget.paused ? -1 : event.currentTarget.currentTime)}
        onPause={() => setAt(-1)} onError={() => setWrong(true)} />
      {wrong && <p class="wrong">This recording has not come from the phone yet, or this browser cannot play it.</p>}
    </div>
  );
}

/** Whether two hearings have the same words. */
const alike = (one: Heard, other: Heard | undefined): boolean =>
  !one.problem && !other?.problem && one.words.map((word) => word.text).join(" ") === other?.words.map((word) => word.text).join(" ");

/** Play the first recording of the entry that is shown, or stop it. */
export function listen(): void {
  const audio = document.querySelector<HTMLAudioElement>("audio[data-first]");
  if (!audio) return;
  if (!audio.paused) audio.pause();
  else {
    audio.currentTime = 0;
    void audio.play().catch(() => undefined);
  }
}

function Words({ heard, at, both = false, from }: { heard: Heard; at: number; both?: boolean; from?(word: HeardWord): void }) {
  const hearer = both ? "The phone and the shop computer heard the same" : (HEARERS[heard.where] ?? heard.where);
  const row = useRef<HTMLParagraphElement>(null);
  const [held, setHeld] = useState(0);
  useEffect(() => setHeld(0), [heard.attachment]);
  const move = (event: KeyboardEvent): void => {
    const step = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
    if (!step) return;
    event.preventDefault();
    const next = Math.min(Math.max(held + step, 0), heard.words.length - 1);
    setHeld(next);
    row.current?.querySelectorAll("button")[next]?.focus();
  };
  return (
    <div class="heard">
      <p class="small">{hearer}{!heard.covered && heard.words.length > 0 && ", as a guess at free speech"}</p>
      {heard.problem && <p class="wrong">It could not be heard: {heard.problem}</p>}
      <p class="words" ref={row} role="group" aria-label={`${hearer}: ${heard.words.map((word) => word.text).join(" ")}`} onKeyDown={move}>
        {heard.words.map((word, number) => (
          <button key={number} disabled={!from} tabIndex={number === held ? 0 : -1} class={`word${word.doubtful ? " doubtful" : ""}${at >= word.start && at < word.end ? " now" : ""}`}
            title={wordTold(word)} onFocus={() => setHeld(number)} onClick={() => from?.(word)}>
            {word.text}{word.doubtful && <><sup aria-hidden="true">?</sup><span class="hush">, doubtful{word.runner_up && `, or ${word.runner_up}`}</span></>}
          </button>
        ))}
      </p>
    </div>
  );
}

const wordTold = (word: HeardWord): string =>
  `${word.start.toFixed(1)} s, sure by ${Math.round(word.confidence * 100)} %${word.runner_up ? `, or: ${word.runner_up}` : ""}`;

function Differing({ rows }: { rows: Entry["differing"] }) {
  return (
    <table class="beside">
      <caption>Where the two hearings differ</caption>
      <thead><tr><th scope="col">field</th><th scope="col">the phone</th><th scope="col">the shop computer</th></tr></thead>
      <tbody>{rows.map((row) => <tr key={row.field}><th scope="row">{row.label}</th><td>{row.phone}</td><td>{row.shop}</td></tr>)}</tbody>
    </table>
  );
}
