// Being called when the app is closed: the browser's push subscription, and the shop computer's knowledge of it.
import { fact } from "../keep/db";
import { ask, asJson } from "../sync/ask";
import { type Choice, keepChoice } from "./choice";

interface Told {
  key: string;
  contact: boolean;
  mine: { active: boolean; renew: boolean; alarm: string } | null;
}

const bytes = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (letter) => letter.charCodeAt(0));

/** Why this browser cannot be called while the app is closed; "" if it can. */
export function cannot(): string {
  const apple = /iPhone|iPad/.test(navigator.userAgent) || (navigator.platform === "MacIntel" && navigator.maxTouchPoints > 1);
  if (apple && !matchMedia("(display-mode: standalone)").matches) return "home screen";
  if (!("serviceWorker" in navigator) || !("PushManager" in globalThis) || !("Notification" in globalThis)) {
    return "this browser cannot be called while the app is closed";
  }
  if (Notification.permission === "denied") return "notifications are forbidden to plytally in this phone's settings";
  return "";
}

/** Bring the shop computer's knowledge in line with a choice; "" or the sentence that says why not. */
export async function putChoice(choice: Choice, registration: ServiceWorkerRegistration): Promise<string> {
  const token = (await fact<string>("token")) ?? null;
  if (token === null) return "pair this phone first";
  if (!choice.on) return leave(choice, token, registration);
  const asked = await ask("/api/calls", token);
  if (asked.outcome.kind !== "taken") return asked.outcome.why;
  const { key, contact } = asked.body as Told;
  try {
    const subscription = await subscribed(key, choice, registration);
    const { endpoint, keys } = JSON.parse(JSON.stringify(subscription)) as { endpoint: string; keys: object };
    const given = { endpoint, keys, kinds: choice.kinds, quiet: choice.quiet, detail: choice.detail };
    const put = await ask("/api/calls", token, { ...asJson(given), method: "PUT" });
    if (put.outcome.kind !== "taken") return put.outcome.why;
    await keepChoice({ ...choice, key, endpoint, contact });
    return "";
  } catch (problem) {
    return `this phone could not subscribe: ${problem instanceof Error ? problem.message : String(problem)}`;
  }
}

/** The subscription that there is, if it was made with this key; else a new one. */
async function subscribed(key: string, choice: Choice, registration: ServiceWorkerRegistration): Promise<PushSubscription> {
  const known = await registration.pushManager.getSubscription();
  if (known && choice.key === key) return known;
  await known?.unsubscribe();
  return registration.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: bytes(key) });
}

async function leave(choice: Choice, token: string, registration: ServiceWorkerRegistration): Promise<string> {
  const asked = await ask("/api/calls", token, { method: "DELETE" });
  if (asked.outcome.kind !== "taken") return asked.outcome.why;
  await (await registration.pushManager?.getSubscription())?.unsubscribe();
  const { key: _key, endpoint: _endpoint, ...rest } = choice;
  await keepChoice(rest);
  return "";
}

/** Look whether the subscription still stands, and make it anew where it does not. */
export async function checkCalls(choice: Choice, registration: ServiceWorkerRegistration): Promise<string> {
  const token = (await fact<string>("token")) ?? null;
  if (!choice.on || token === null) return "";
  const asked = await ask("/api/calls", token);
  if (asked.outcome.kind !== "taken") return "";
  const { key, mine } = asked.body as Told;
  const known = await registration.pushManager.getSubscription();
  const stands = known?.endpoint === choice.endpoint && choice.key === key && mine?.active && !mine.renew;
  return stands ? (mine.alarm ?? "") : putChoice(choice, registration);
}
