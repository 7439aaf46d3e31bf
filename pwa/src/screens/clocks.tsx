// The clocks on the bench: one tag that counts down beside what was said, and large answers when it is due.
import "./clocks.css";
import { answer } from "../work/ticking";
import type { Clock } from "../calls/clock";
import * as state from "../state";

const two = (number: number): string => String(number).padStart(2, "0");

/** "19:39 left", "3:12 past its time". */
function leftTold(clock: Clock, now: number): string {
  const count = counted(clock, now);
  if (clock.due === null) return "runs, until when was not said";
  return count.startsWith("+") ? `${count.slice(1)} past its time` : `${count} left`;
}

/** "9:58", "2 h 05", past its time "+3:12". */
export function counted(clock: Clock, now: number): string {
  const left = Math.round(((clock.due ?? now) - now) / 1000);
  const seconds = Math.abs(left);
  const sign = left < 0 ? "+" : "";
  if (clock.due === null) return "runs";
  if (seconds < 3600) return `${sign}${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
  if (seconds < 48 * 3600) return `${sign}${Math.floor(seconds / 3600)} h ${two(Math.floor(seconds / 60) % 60)}`;
  return `${sign}${Math.round(seconds / 86_400)} days`;
}

const isDue = (clock: Clock, now: number): boolean => clock.due !== null && clock.due <= now;

export function Running() {
  const [first, ...others] = state.clocks.value;
  const now = state.clockNow.value;
  if (!first) return null;
  const open = state.clockShown.value !== null;
  return (
    <button
      class={isDue(first, now) ? "ticking due" : "ticking"}
      aria-expanded={open}
      onClick={() => { state.clockShown.value = open ? null : first.id; }}
    >
      <span class="what">{first.kind === "timer" ? first.label : first.kind}</span>
      <span class="left">{counted(first, now)}</span>
      <span class="more-run">{others.length > 0 ? `${others.length} more` : isDue(first, now) ? "late" : ""}</span>
    </button>
  );
}

export const shownClock = (): Clock | undefined => state.clocks.value.find((clock) => clock.id === state.clockShown.value);

/** What the clock is for, in place of what was last said. */
export function ClockSaid({ clock }: { clock: Clock }) {
  const now = state.clockNow.value;
  return (
    <section class={isDue(clock, now) ? "said doubt" : "said plain"} role="status" tabIndex={0}>
      <p>{isDue(clock, now) ? clock.says : [clock.label, clock.place].filter(Boolean).join(", ")}</p>
      {clock.why && <p>{clock.why}</p>}
      {clock.caution && <p class="small">{clock.caution}</p>}
    </section>
  );
}

export function ClockAnswers({ clock }: { clock: Clock }) {
  const all = state.clocks.value;
  const next = all[(all.indexOf(clock) + 1) % all.length];
  return (
    <section class="tools clock-answers" aria-label={`Answers for ${clock.label}`}>
      <button class="tool yes" onClick={() => void answer(clock, "done")}>Done</button>
      <button class="tool" onClick={() => void answer(clock, "later")}>10 more min</button>
      {next && next !== clock && <button class="tool" onClick={() => { state.clockShown.value = next.id; }}>Next clock</button>}
      <button class="tool" onClick={() => { state.clockShown.value = null; }}>Close</button>
    </section>
  );
}

const start = (): void => {
  state.building.value = { about: null, kind: "clock" };
  state.screen.value = "work";
};

/** The running clocks on the page of the log, each with its answers, and a way to start one. */
export function ClockList() {
  const now = state.clockNow.value;
  return (
    <section>
      <h2>Clocks</h2>
      {state.clocks.value.length === 0 && <p>No clock is running.</p>}
      {state.mindPower.value.kind === "on" && <button class="do" onClick={start}>Start a clock</button>}
      <ul class="lines">
        {state.clocks.value.map((clock) => (
          <li key={clock.id} class={isDue(clock, now) ? "clock-row due" : "clock-row"}>
            <p>{[clock.label, clock.place].filter(Boolean).join(", ")}: <b>{leftTold(clock, now)}</b></p>
            {clock.why && <p class="small">{clock.why}</p>}
            {clock.caution && <details class="again"><summary>Watch for</summary><p class="small">{clock.caution}</p></details>}
            <button class="do" aria-label={`Done: ${clock.label}`} onClick={() => void answer(clock, "done")}>Done</button>
            <button class="do" aria-label={`10 more minutes: ${clock.label}`} onClick={() => void answer(clock, "later")}>10 more minutes</button>
          </li>
        ))}
      </ul>
    </section>
  );
}
