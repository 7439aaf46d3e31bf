// When and how the phone speaks with the shop computer. One at a time over all tabs; a failure is tried again.
import { type Row, fact, setFact } from "../keep/db";
import { self } from "../keep/operations";
import { whyNotKept } from "../keep/room";
import type { PrintCopy } from "../understand/messages";
import { ask, asJson } from "./ask";
import { SYNC_LOCK, exchange } from "./exchange";
import type { Outcome } from "./outcome";
import { tellReadings } from "../voice/voice";
import { sendMedia } from "./uploads";

export interface Heard {
  came(rows: Row[]): void;
  print(copy: PrintCopy): void;
  state(state: SyncState): void;
}

export type SyncState =
  | { kind: "starting" }
  | { kind: "unpaired"; why: string }
  | { kind: "idle" }
  | { kind: "busy"; media: number }
  | { kind: "waiting"; why: string };

const EVERY_MS = 60_000;
/** Whatever a busy or full shop computer says. */
const LONGEST_WAIT_MS = 600_000;
let tell: Heard;
let timer: ReturnType<typeof setTimeout> | undefined;

/** Begin to sync: now, when the network or the page comes back, every minute, and when asked. */
export function startSync(heard: Heard): void {
  tell = heard;
  addEventListener("online", () => soon(500));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon(500));
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data === "sync" && soon(0));
  soon(0);
}

/** Sync after so many milliseconds, unless it comes sooner anyway. */
export function soon(ms: number): void {
  clearTimeout(timer);
  timer = setTimeout(() => void syncNow(), ms);
}

export async function syncNow(): Promise<Outcome | undefined> {
  clearTimeout(timer);
  const done = await navigator.locks.request(SYNC_LOCK, { ifAvailable: true }, async (lock) =>
    lock ? round().catch(broken) : undefined,
  );
  soon(done?.kind === "later" ? Math.min(done.waitMs, LONGEST_WAIT_MS) : EVERY_MS);
  return done;
}

/** The phone's own storage failed: nothing is lost by that, and the next round begins anew. */
function broken(problem: unknown): Outcome {
  const why = whyNotKept(problem);
  tell.state({ kind: "waiting", why });
  return { kind: "later", why, waitMs: 30_000 };
}

async function round(): Promise<Outcome> {
  const token = (await fact<string>("token")) ?? null;
  if (token === null) {
    tell.state({ kind: "unpaired", why: "" });
    return { kind: "pair again", why: "" };
  }
  tell.state({ kind: "busy", media: 0 });
  const exchanged = await exchange(token);
  tell.came(exchanged.came);
  let done = exchanged.outcome;
  if (done.kind === "taken") done = await fetchPrint(token);
  if (done.kind === "taken") done = await sendMedia(token, (left) => tell.state({ kind: "busy", media: left }));
  if (done.kind === "taken") await tellReadings(token);
  if (done.kind === "taken") tell.state({ kind: "idle" });
  else if (done.kind === "pair again") tell.state({ kind: "unpaired", why: done.why });
  else tell.state({ kind: "waiting", why: done.why });
  tell.came([]);
  return done;
}

async function fetchPrint(token: string): Promise<Outcome> {
  const known = await fact<{ etag: string | null; copy: PrintCopy }>("print");
  const headers: Record<string, string> = known?.etag ? { "If-None-Match": known.etag } : {};
  const asked = await ask("/api/print", token, { headers });
  if (asked.outcome.kind === "taken" && !asked.notModified) {
    const copy = asked.body as PrintCopy;
    await setFact("print", { etag: asked.etag, copy });
    tell.print(copy);
  }
  return asked.outcome;
}

/** What the shop computer has of this phone as it was before the browser cleared it. */
export interface Before {
  name: string;
  last_seen: string | null;
  last: number;
  gaps: [number, number][];
  media: number;
}

export interface Paired {
  wrong: string;
  before: Before | null;
}

/** Pair this phone by a code from the desk. Whatever it holds stays; `wrong` says why it did not work. */
export async function pair(code: string, name: string): Promise<Paired> {
  const { device } = await self();
  const asked = await ask("/api/pair", null, { ...asJson({ code, device, name }), credentials: "same-origin" });
  if (asked.outcome.kind !== "taken") return { wrong: asked.outcome.why || "the code was not taken", before: null };
  const { token, before } = asked.body as { token: string; before?: Before | null };
  await setFact("token", token);
  await setFact("phoneName", name);
  soon(0);
  return { wrong: "", before: before ?? null };
}
