// A clock as the phone keeps it, so that it can count, ring and be answered without the core at hand.
import type { JsonObject } from "../keep/canonical";
import { wall } from "../keep/clock";
import { fact, setFact } from "../keep/db";
import { type Act, self } from "../keep/operations";

export interface Clock {
  id: string;
  /** The operation that set its time: it rings once for each. */
  call: string;
  kind: string;
  label: string;
  place: string;
  since: number;
  due: number | null;
  line: string;
  says: string;
  why: string;
  caution: string;
  pressing: boolean;
  lapse: number;
  called: [device: string, call: string][];
  over: { due?: string[]; done?: string[] };
}

/** What is enough to answer a clock: its entry, its call, its time, and what an answer replaces. */
export type Answerable = Pick<Clock, "id" | "call" | "due" | "over">;

export const LATER_MS = 10 * 60_000;

const amend = (clock: Answerable, field: string, value: string, over: string[], why: string): Act => ({
  act: "amend",
  target: clock.id,
  body: { field, value, over, author: "builder", why } satisfies JsonObject,
});

export const done = (clock: Answerable, why: string): Act => amend(clock, "done", "done", clock.over.done ?? [], why);

/** Put it off by ten minutes: from now where it is due, else from its time. */
export function later(clock: Answerable, now: number, why: string): [Act, due: number] {
  const due = Math.max(now, clock.due ?? now) + LATER_MS;
  return [amend(clock, "due", wall(due, -new Date(due).getTimezoneOffset()), clock.over.due ?? [], why), due];
}

export const called = (clock: Answerable, device: string, why: string): Act =>
  amend(clock, "called", `${device} ${clock.call}`, [], why);

/** Now by the shop computer's clock, as far as this phone knows it. */
export const trueNow = async (): Promise<number> => Date.now() - ((await self()).skewMs ?? 0);

const KEPT = "clocks";
export const keptClocks = async (): Promise<Clock[]> => (await fact<Clock[]>(KEPT)) ?? [];
export const keepClocks = (clocks: readonly Clock[]): Promise<void> => setFact(KEPT, clocks);

/** The next changes of this phone's local time (daylight saving), as [from when, minutes ahead of UTC]. */
export function changes(now: number, days = 8): [number, number][] {
  const offset = (millis: number): number => -new Date(millis).getTimezoneOffset();
  const found: [number, number][] = [];
  let before = offset(now);
  for (let hour = now; hour < now + days * 24 * 3_600_000; hour += 3_600_000) {
    if (offset(hour + 3_600_000) === before) continue;
    before = offset(hour + 3_600_000);
    let [low, high] = [hour, hour + 3_600_000];
    while (high - low > 1000) {
      const middle = Math.floor((low + high) / 2000) * 1000;
      if (offset(middle) === before) high = middle;
      else low = middle;
    }
    found.push([Math.floor(high / 1000) * 1000, before]);
  }
  return found;
}
