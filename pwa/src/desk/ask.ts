// The desk's one way to talk to the shop computer: JSON both ways, a refusal as an Error whose message is a sentence.
import { signal } from "@preact/signals";

/** "unknown" until the first answer; then whether this browser is signed in. */
export const session = signal<"unknown" | "in" | "out">("unknown");
let csrf = "";

const LONGEST_MS = 60_000;

/** What the shop computer (or the way to it) refused. `kind` is the last word of the problem's type, "" where there was no answer. */
export class Refused extends Error {
  constructor(
    readonly kind: string,
    sentence: string,
    readonly fields: readonly { field: string; why: string }[] = [],
  ) {
    super(sentence);
  }
}

interface Details {
  type?: string;
  title?: string;
  detail?: string;
  errors?: { field: string; why: string }[];
}

/** Ask for JSON; `body` is sent as JSON. Refused says why not, in words to be shown. */
export async function ask<T>(method: "GET" | "POST" | "PUT" | "PATCH" | "DELETE", path: string, body?: unknown): Promise<T> {
  const answer = await send(method, path, body);
  const isJson = /json/.test(answer.headers.get("Content-Type") ?? "");
  const told: unknown = isJson ? await answer.json() : null;
  if (answer.ok) return told as T;
  const refused = refusal(answer.status, told as Details | null);
  if (refused.kind === "not-signed-in") session.value = "out";
  throw refused;
}

export const get = <T>(path: string): Promise<T> => ask<T>("GET", path);

/** What goes along with a change that does not go through `ask`: an upload in pieces. */
export const changing = (): Record<string, string> => ({ "X-Plytally-Csrf": csrf });

async function send(method: string, path: string, body: unknown): Promise<Response> {
  const headers = new Headers({ Accept: "application/json" });
  if (method !== "GET") headers.set("X-Plytally-Csrf", csrf);
  if (body !== undefined) headers.set("Content-Type", "application/json");
  try {
    return await fetch(path, {
      method, headers, cache: "no-store", credentials: "same-origin", signal: AbortSignal.timeout(LONGEST_MS),
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
  } catch {
    throw new Refused("", "The shop computer does not answer. Is it still serving? Nothing was lost; try again.");
  }
}

function refusal(status: number, told: Details | null): Refused {
  const sentence = told?.detail || told?.title || `the shop computer answered ${status}`;
  return new Refused(told?.type?.split(":").pop() ?? "", asSentence(sentence), told?.errors ?? []);
}

export const asSentence = (text: string): string => {
  const whole = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(whole) ? whole : `${whole}.`;
};

/** The words for whatever went wrong. */
export const whyNot = (problem: unknown): string =>
  problem instanceof Refused ? problem.message : `This page failed: ${problem instanceof Error ? problem.message : String(problem)}`;

/** Find out whether this browser is signed in. */
export async function takeUpSession(): Promise<void> {
  try {
    csrf = (await get<{ csrf: string | null }>("/api/desk/session")).csrf ?? "";
    session.value = "in";
  } catch (problem) {
    session.value = "out";
    if (problem instanceof Refused && problem.kind === "") throw problem;
  }
}

export async function signIn(passphrase: string): Promise<void> {
  csrf = (await ask<{ csrf: string }>("POST", "/api/desk/session", { passphrase })).csrf;
  session.value = "in";
}

export async function signOut(): Promise<void> {
  await ask<null>("DELETE", "/api/desk/session");
  csrf = "";
  session.value = "out";
}
