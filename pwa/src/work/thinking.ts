// The two workers: loaded after the first screen can be used, never waited for by a recording.
import coreUrl from "../../.made/core.zip?url";
import { changes, trueNow } from "../calls/clock";
import { fact, setFact } from "../keep/db";
import { all, self } from "../keep/operations";
import { wall } from "../keep/clock";
import { type Ear, ear } from "../hear/ear";
import { type Likes, USUAL } from "../likes";
import { modelHere } from "../hear/offer";
import * as state from "../state";
import { wasReadAloud, whyUnfit } from "../voice/fitness";
import { keptMeans } from "../voice/means";
import { type Mind, mind } from "../understand/mind";
import type { Ears, PrintCopy, Received } from "../understand/messages";
import type { Row } from "../keep/db";
import { showClocks } from "./ticking";

/** What clocks need of the worker each time the log says something new. */
async function tellClocks(known: Mind): Promise<void> {
  await showClocks(await known.ask("clocks", wall(await trueNow(), -new Date().getTimezoneOffset())));
}

const NO_PRINT: PrintCopy = { print: null, words: {} };

/** The shop computer's print as it came last; how it likes days written is on the screens from here on. */
async function printHere(): Promise<PrintCopy> {
  const print = (await fact<{ copy: PrintCopy }>("print"))?.copy ?? NO_PRINT;
  state.likes.value = { ...USUAL, ...(print.likes as Partial<Likes> | undefined) };
  return print;
}
let thinking: Promise<Mind> | undefined;
let listening: Promise<Ear> | undefined;

export const nowText = (): string => wall(Date.now(), -new Date().getTimezoneOffset());

/** How local time changes after an entry was noted, and how far this phone's clock is ahead. */
export async function timeOf(entry: string): Promise<[changes: [number, number][], skewMs: number]> {
  const rows = [...(state.board.value?.entries ?? []), ...(state.board.value?.to_settle ?? [])];
  const noted = rows.find((each) => each.id === entry)?.wall;
  return [changes(noted ? Date.parse(noted) : Date.now()), (await self()).skewMs ?? 0];
}

const received = (rows: readonly Row[]): Received[] => rows.map((row) => [row.operation, row.receivedMillis]);
const why = (problem: unknown): string => (problem instanceof Error ? problem.message : String(problem));

/** Start, or start anew with another print. */
export function load(): void {
  const started = performance.now();
  thinking = openMind();
  listening = openEar(thinking);
  thinking.then(
    () => {
      state.mindPower.value = { kind: "on" };
      performance.measure("mind ready", { start: started });
    },
    (problem: unknown) => {
      state.mindPower.value = { kind: "off", why: why(problem) };
    },
  );
  listening.then(
    () => {
      state.earPower.value = { kind: "on" };
      performance.measure("ear ready", { start: started });
    },
    (problem: unknown) => {
      state.earPower.value = { kind: "off", why: why(problem) };
    },
  );
}

async function openMind(): Promise<Mind> {
  const made = mind();
  const print = await printHere();
  await made.ask("open", print, received(await all()));
  state.board.value = await made.ask("board", nowText());
  await tellClocks(made);
  return made;
}

async function openEar(thinking: Promise<Mind>): Promise<Ear> {
  const { likes: _other, ...print } = await printHere(); // what is liked makes no other ears
  const key = JSON.stringify([coreUrl, __EAR__, print]); // another core or dictionary makes others of the same print
  const known = await fact<{ key: string; ears: Ears }>("ears");
  const ears = known?.key === key ? known.ears : await (await thinking).ask("ears");
  if (known?.key !== key) await setFact("ears", { key, ears }).catch(() => undefined); // made anew next time
  void thinking.then((mind) => mind.ask("hear_by", ears)).catch(() => undefined); // it only spares the first note a wait
  return (await betterEar(thinking, ears)) ?? ownEar(ears);
}

/** The embedded engine, by the voice that was learnt if its file is good; else by nobody's, and it is said why. */
async function ownEar(ears: Ears): Promise<Ear> {
  const means = await keptMeans();
  state.voicePower.value = { kind: "none" };
  if (!means) return ear(ears);
  try {
    const wrong = await whyUnfit(means, await (await fetch(`${__EAR__}en-us/means`)).arrayBuffer());
    if (wrong) throw new Error(wrong);
    const made = await ear(ears, { means: means.bytes, readAloud: wasReadAloud(means) });
    state.voicePower.value = { kind: "on" };
    return made;
  } catch (problem) {
    state.voicePower.value = { kind: "off", why: why(problem) };
    return ear(ears);
  }
}

/** The ear with a model of the shop computer's, if one is here and loads; else it is said why, and not used. */
async function betterEar(thinking: Promise<Mind>, ears: Ears): Promise<Ear | undefined> {
  const model = await modelHere();
  if (!model) return undefined;
  try {
    const { voskEar } = await import("../hear/vosk");
    const made = await voskEar(model, ears, await (await thinking).ask("sentences"));
    state.betterEar.value = { kind: "on", name: model.name };
    return made;
  } catch (problem) {
    state.betterEar.value = { kind: "off", why: why(problem) };
    return undefined;
  }
}

/** Listen by what is here now: a model came, or was let go. */
export async function listenAnew(): Promise<void> {
  const before = listening;
  if (!thinking) return;
  state.betterEar.value = { kind: "none" };
  listening = openEar(thinking);
  (await settled(before))?.close();
  await settled(listening);
}

/** The worker that understands, or undefined if this phone has not got it. */
export const theMind = (): Promise<Mind | undefined> => settled(thinking);
export const theEar = (): Promise<Ear | undefined> => settled(listening);

async function settled<T>(promise: Promise<T> | undefined): Promise<T | undefined> {
  try {
    return await promise;
  } catch {
    return undefined;
  }
}

/** Show new operations to the worker, and what it says then to the screens. */
export async function show(rows: readonly Row[]): Promise<void> {
  const known = await theMind();
  if (!known) return;
  if (rows.length > 0) await known.ask("saw", received(rows));
  state.board.value = await known.ask("board", nowText());
  await tellClocks(known);
}

/** The print changed: listen and understand by the new one, once what waits has been gone through. */
export async function takePrint(): Promise<void> {
  const before = await theEar();
  load();
  before?.close();
}
