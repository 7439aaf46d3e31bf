// Counts the clocks down on this phone and rings them, with no network and before the core is loaded.
import { signal as sound } from "../capture/signals";
import { keptChoice, mayRing } from "../calls/choice";
import { type Answerable, type Clock, LATER_MS, done, keepClocks, keptClocks, later, trueNow } from "../calls/clock";
import { forgetRings, takeRing } from "../calls/ring";
import type { Told } from "../calls/worker_calls";
import type { Operation, Row } from "../keep/db";
import { record, self } from "../keep/operations";
import { say } from "../speak/speak";
import * as state from "../state";
import { soon } from "../sync/sync";
import { effect } from "@preact/signals";

let device = "";
let skew = 0;
let ownContext: AudioContext | undefined;
let asked: Set<string> = new Set();
/** What to sound once nothing is being recorded. */
let unheard: string[] = [];
let learnt: (rows: Row[]) => Promise<void> = async () => undefined;

/** Begin: what an earlier visit kept counts at once. `told` takes in operations made here. */
export async function startClocks(told: (rows: Row[]) => Promise<void>): Promise<void> {
  learnt = told;
  state.calls.value = await keptChoice();
  device = (await self()).device;
  skew = Date.now() - (await trueNow());
  if (state.clocks.value.length === 0) state.clocks.value = await keptClocks();
  navigator.serviceWorker?.addEventListener("message", ({ data }: MessageEvent<Told | string>) => {
    if (typeof data === "object") void heard(data);
  });
  document.addEventListener("visibilitychange", tick);
  effect(() => {
    if (state.stage.value === "ready" && unheard.length > 0) sounded(unheard.splice(0));
  });
  setInterval(tick, 1000);
  tick();
  void forgetRings(Date.now());
}

/** The clocks as the log has them now. */
export async function showClocks(clocks: Clock[]): Promise<void> {
  skew = Date.now() - (await trueNow());
  state.clocks.value = clocks;
  await keepClocks(clocks);
  tick();
}

function tick(): void {
  const now = Date.now() - skew;
  const second = Math.floor(now / 1000);
  if (Math.floor(state.clockNow.peek() / 1000) !== second) state.clockNow.value = now;
  for (const clock of state.clocks.peek()) {
    const due = clock.due !== null && clock.due <= now && now - clock.due <= clock.lapse;
    if (!due || asked.has(clock.call) || !mayRing(state.calls.peek(), clock.kind, clock.pressing, new Date())) continue;
    asked.add(clock.call);
    const late = now - (clock.due ?? now);
    if (!wasCalled(clock, late)) void ring(clock, late);
  }
}

/** Called here, or elsewhere so long ago that somebody knows: a phone that is new must not ring for all of it. */
function wasCalled(clock: Clock, late: number): boolean {
  return clock.called.some(([by, call]) => call === clock.call && (by === device || late > LATER_MS));
}

async function ring(clock: Clock, late: number): Promise<void> {
  try {
    const made = await takeRing(clock, late);
    if (made === null) return;
    await show(clock, late);
    await shown(made);
  } catch (problem) {
    asked.delete(clock.call);
    console.warn("a clock could not be noted as rung", problem);
  }
}

async function show(clock: Clock, late: number): Promise<void> {
  state.clockShown.value = clock.id;
  const line = late >= 60_000 ? `${clock.says}. ${Math.round(late / 60_000)} minutes late` : clock.says;
  if (document.visibilityState !== "visible") await notify(clock, line);
  if (state.stage.value === "ready") return sounded([line]);
  navigator.vibrate?.([300, 100, 300]);
  unheard.push(line);
}

function sounded(lines: string[]): void {
  ownContext ??= new AudioContext();
  void ownContext.resume().catch(() => undefined).then(() => sound("due", ownContext, true));
  say(lines);
}

/** The page is awake but not looked at: the phone's own notification says it. */
async function notify(clock: Clock, line: string): Promise<void> {
  if (!("Notification" in globalThis) || Notification.permission !== "granted") return;
  const registration = await navigator.serviceWorker?.getRegistration();
  const { id: entry, call, due, over } = clock;
  const title = state.calls.value.detail ? line : "A plytally clock is due";
  const data = { call, entry, due, title, body: "", late: 0, over };
  const actions = [{ action: "done", title: "Done" }, { action: "later", title: "10 more minutes" }];
  const options = { tag: entry, renotify: true, requireInteraction: true, data, actions };
  await registration?.showNotification(title, options as NotificationOptions);
}

async function shown(made: readonly Operation[]): Promise<void> {
  await learnt(made.map((operation) => ({ id: operation.id, operation, there: 0, receivedMillis: null })));
  soon(1500);
}

async function heard(told: Told): Promise<void> {
  if (told.kind === "made") return shown(told.operations);
  if (told.kind === "open") return open(told.entry);
  const { call, entry, due, over, late, title } = told.call;
  const known = state.clocks.value.find((clock) => clock.call === call);
  const clock = known ?? { ...UNKNOWN, id: entry, call, due, over, says: title };
  if (!asked.has(call)) await ring(clock, late);
}

const UNKNOWN: Clock = {
  id: "", call: "", kind: "timer", label: "a clock of another device", place: "", since: 0, due: null, line: "", says: "", why: "",
  caution: "", pressing: false, lapse: 0, called: [], over: {},
};

/** Show an entry that a notification asked for, with the answers to its clock. */
export function open(entry: string): void {
  state.opened.value = entry;
  state.clockShown.value = state.clocks.value.some((clock) => clock.id === entry) ? entry : null;
  state.screen.value = "log";
}

/** Answer a clock by touch: it is durable, and shown at once, whether or not the core is there. */
export async function answer(clock: Answerable, what: "done" | "later"): Promise<void> {
  const now = Date.now() - skew;
  const [act, due] = what === "done" ? [done(clock, "by touch"), null] : later(clock, now, "by touch");
  const made = await record([act]);
  const call = made[0]?.id ?? clock.call;
  state.clocks.value = state.clocks.value.flatMap((each) =>
    each.id !== clock.id ? [each] : due === null ? [] : [{ ...each, due, call, over: { ...each.over, due: [call] } }],
  );
  await keepClocks(state.clocks.value);
  state.clockShown.value = null;
  asked = new Set([...asked].filter((each) => each !== call));
  await shown(made);
}
