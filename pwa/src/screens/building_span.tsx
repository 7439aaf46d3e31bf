// A time by large buttons: how long, or until which minute of today or tomorrow. Each touch makes it longer or
// later, so that no digit is to be met with a glove.
import { useState } from "preact/hooks";

const MINUTE_MS = 60_000;
const DAY_MIN = 24 * 60;
const QUARTER = 15;
/** For a time of day: earlier above, later below. */
const SHIFTS = [-60, -15, -5, 60, 15, 5] as const;

const two = (number: number): string => String(number).padStart(2, "0");
const stepTold = (minutes: number): string =>
  minutes % DAY_MIN === 0 ? `${minutes / DAY_MIN} day` : minutes % 60 === 0 ? `${minutes / 60} h` : `${minutes} min`;

/** "45 min", "2 h 05", "1 day 3 h". */
export function spanTold(minutes: number): string {
  const [days, hours, rest] = [Math.floor(minutes / DAY_MIN), Math.floor(minutes / 60) % 24, minutes % 60];
  if (days > 0) return [`${days} ${days === 1 ? "day" : "days"}`, hours > 0 && `${hours} h`, rest > 0 && `${rest} min`].filter(Boolean).join(" ");
  return hours === 0 ? `${rest} min` : rest === 0 ? `${hours} h` : `${hours} h ${two(rest)}`;
}

interface Till {
  /** What core reads: "21:30 today". */
  value: string;
  told: string;
  /** Whether it can be taken: after now, and no later than tomorrow. */
  good: boolean;
}

/** The minute so far from today's midnight, as today's or tomorrow's. */
export function tillTold(fromMidnight: number, now: Date): Till {
  const passed = now.getHours() * 60 + now.getMinutes();
  const clock = `${two(Math.floor(fromMidnight / 60) % 24)}:${two(((fromMidnight % 60) + 60) % 60)}`;
  const day = fromMidnight >= DAY_MIN ? "tomorrow" : "today";
  return { value: `${clock} ${day}`, told: `${clock} ${day}`, good: fromMidnight > passed && fromMidnight < 2 * DAY_MIN };
}

const nextQuarter = (): number => {
  const now = new Date(Date.now() + MINUTE_MS);
  return Math.ceil((now.getHours() * 60 + now.getMinutes()) / QUARTER) * QUARTER;
};

export function Span({ steps, pick }: { steps: number[]; pick(value: string): void }) {
  const [way, setWay] = useState<"long" | "until">("long");
  const tab = (name: "long" | "until", label: string) => (
    <button class={way === name ? "tool take" : "tool"} aria-pressed={way === name} onClick={() => setWay(name)}>{label}</button>
  );
  return (
    <div class="pad span">
      <div class="row">{tab("long", "How long")}{tab("until", "Until")}</div>
      {way === "long" ? <Long steps={steps} pick={pick} /> : <Until pick={pick} />}
    </div>
  );
}

function Long({ steps, pick }: { steps: number[]; pick(value: string): void }) {
  const [minutes, setMinutes] = useState(0);
  return (
    <>
      <output class="number" aria-live="polite">{minutes > 0 ? spanTold(minutes) : " "}</output>
      {steps.map((step) => <button key={step} class="tool" onClick={() => setMinutes(minutes + step)}>+{stepTold(step)}</button>)}
      <div class="row">
        <button class="tool" disabled={minutes === 0} onClick={() => setMinutes(0)}>Back to 0</button>
        <button class="tool take" disabled={minutes === 0} onClick={() => pick(`${minutes} min`)}>That long</button>
      </div>
    </>
  );
}

function Until({ pick }: { pick(value: string): void }) {
  const [at, setAt] = useState(nextQuarter);
  const till = tillTold(at, new Date());
  const shift = (by: number): void => {
    const next = at + by;
    if (tillTold(next, new Date()).good) setAt(next);
  };
  return (
    <>
      <output class="number" aria-live="polite">{till.told}</output>
      {SHIFTS.map((by) => <button key={by} class="tool" onClick={() => shift(by)}>{by < 0 ? "−" : "+"}{stepTold(Math.abs(by))}</button>)}
      <div class="row">
        <button class="tool take" disabled={!till.good} onClick={() => pick(till.value)}>At that time</button>
      </div>
    </>
  );
}
