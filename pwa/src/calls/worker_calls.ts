// The service worker's part: show a call, take its answer, keep both safe even with the page closed.
import { type Operation } from "../keep/db";
import { fact } from "../keep/db";
import { record } from "../keep/operations";
import { SYNC_LOCK, exchange } from "../sync/exchange";
import { keptChoice } from "./choice";
import { type Answerable, done, later, trueNow } from "./clock";
import { takeRing } from "./ring";
import { putChoice } from "./subscribe";

declare const self: ServiceWorkerGlobalScope;

/** What a call carries; see server/plytally/remind/message.py. */
interface Call {
  call: string;
  entry: string;
  due: number | null;
  title: string;
  body: string;
  late: number;
  over: Answerable["over"];
}

interface Shown extends NotificationOptions {
  actions?: { action: string; title: string }[];
  renotify?: boolean;
  timestamp?: number;
}

/** What the worker tells the page. */
export type Told = { kind: "made"; operations: Operation[] } | { kind: "ring"; call: Call } | { kind: "open"; entry: string };

const NO_WORDS: Call = { call: "", entry: "", due: null, title: "A plytally clock is due", body: "", late: 0, over: {} };
const answerable = (call: Call): Answerable => ({ id: call.entry, call: call.call, due: call.due, over: call.over });

export function answerCalls(): void {
  self.addEventListener("push", (event) => event.waitUntil(pushed(read(event.data))));
  self.addEventListener("notificationclick", (event) => {
    event.notification.close();
    event.waitUntil(answered(event.action, event.notification.data as Call));
  });
  self.addEventListener("pushsubscriptionchange", (event) => (event as ExtendableEvent).waitUntil(renew()));
}

function read(data: PushMessageData | null): Call {
  try {
    return { ...NO_WORDS, ...(data?.json() as Partial<Call>) };
  } catch {
    return NO_WORDS;
  }
}

const pages = (): Promise<readonly WindowClient[]> => self.clients.matchAll({ type: "window", includeUncontrolled: true });

async function tell(told: Told): Promise<void> {
  for (const page of await pages()) page.postMessage(told);
}

/**
 * Ring in the page that is looked at; else by a notification, which is shown even where it rang before. It has
 * no picture: that would be fetched from a shop computer that may be out of reach, and be waited for.
 */
async function pushed(call: Call): Promise<void> {
  const seen = (await pages()).some((page) => page.visibilityState === "visible");
  if (seen && call.call) return tell({ kind: "ring", call });
  const made = await rung(call);
  const options: Shown = {
    body: call.body,
    tag: call.entry || "plytally",
    renotify: made !== null,
    silent: made === null,
    requireInteraction: true,
    data: call,
    timestamp: call.due ?? Date.now(),
    actions: call.call ? [{ action: "done", title: "Done" }, { action: "later", title: "10 more minutes" }] : [],
  };
  await self.registration.showNotification(call.title, options);
  if (made) await passOn(made);
}

/** The ring of this phone, kept; null where it rang before. A store that fails must not keep it silent. */
async function rung(call: Call): Promise<Operation[] | null> {
  if (!call.call) return [];
  try {
    return await takeRing(answerable(call), call.late);
  } catch {
    return [];
  }
}

async function answered(action: string, call: Call): Promise<void> {
  if (action === "done" || action === "later") {
    const why = "on the notification";
    const clock = answerable(call);
    await passOn(await record([action === "done" ? done(clock, why) : later(clock, await trueNow(), why)[0]]));
    return;
  }
  const [page] = await pages();
  if (!page) {
    await self.clients.openWindow(call.entry ? `/#entry=${call.entry}` : "/");
    return;
  }
  page.postMessage({ kind: "open", entry: call.entry } satisfies Told);
  await page.focus();
}

/** What was made here is kept already: show it to open pages, and bring it to the shop computer. */
async function passOn(made: Operation[]): Promise<void> {
  await tell({ kind: "made", operations: made });
  await sendNow();
}

/** Send what waits, unless a page is at it. */
async function sendNow(): Promise<void> {
  const token = await fact<string>("token");
  if (token === undefined) return;
  const outcome = await navigator.locks.request(SYNC_LOCK, { ifAvailable: true }, async (lock) =>
    lock ? (await exchange(token)).outcome.kind : "taken",
  );
  if (outcome === "later") await whenBack();
}

async function whenBack(): Promise<void> {
  const registration = self.registration as ServiceWorkerRegistration & { sync?: { register(tag: string): Promise<void> } };
  await registration.sync?.register("plytally").catch(() => undefined);
}

async function renew(): Promise<void> {
  const choice = await keptChoice();
  if (!choice.on) return;
  const { key: _old, ...fresh } = choice;
  await putChoice(fresh, self.registration);
}
