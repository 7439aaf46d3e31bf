// The print at the desk: what counts, what is written in its place, and what that would change.
import { effect, signal } from "@preact/signals";
import { ask, get, whyNot } from "../ask";

export interface Step {
  step: string;
  told: string;
  after: string[];
  disturbs: string[];
  more: string;
}
export interface Part {
  part: string;
  sides: string[];
  references: string;
  steps: Step[];
}
export interface Revision {
  sha256: string;
  taken: string;
  aircraft: string;
  revision: string;
  kind: Kind;
}
export type Kind = "yaml" | "csv";
export interface Print {
  text: string;
  kind: Kind;
  base: string;
  aircraft: string;
  revision: string;
  steps: number;
  parts: Part[];
  revisions: Revision[];
}
export interface Trouble {
  line: number;
  counted: "line" | "row";
  message: string;
}
export interface Compared {
  problems: Trouble[];
  changes: string[];
  effects: string[];
  told: string;
}

/** A text that is being written, and the print that it is to take the place of. */
export interface Draft {
  text: string;
  kind: Kind;
  base: string;
}

const DRAFT = "plytally-desk-print";
const WAIT_MS = 900;
export const print = signal<Print | null>(null);
export const draft = signal<Draft | null>(remembered());
/** What was found about the draft as it stands; null while it is not looked at yet. */
export const compared = signal<Compared | null>(null);
export const wrong = signal("");
export const done = signal("");

// A text half written outlives a reload, a sign-out and a power cut.
function remembered(): Draft | null {
  try {
    return JSON.parse(localStorage.getItem(DRAFT) ?? "null") as Draft | null;
  } catch {
    return null;
  }
}
effect(() => {
  try {
    if (draft.value) localStorage.setItem(DRAFT, JSON.stringify(draft.value));
    else localStorage.removeItem(DRAFT);
  } catch {
    // the browser keeps nothing: the text is still on this page
  }
});

export async function learn(): Promise<void> {
  wrong.value = "";
  try {
    print.value = await get<Print>("/api/desk/print");
  } catch (problem) {
    wrong.value = whyNot(problem);
  }
  if (draft.value) look();
}

/** Begin to write: at the print that counts, at a text that counted once, or at a file. */
export function begin(text: string, kind: Kind): void {
  done.value = "";
  write({ text, kind, base: print.value?.base ?? "" });
}

export async function takeUp(revision: Revision): Promise<void> {
  try {
    const answer = await fetch(`/api/desk/print/texts/${revision.sha256}`, { cache: "no-store", credentials: "same-origin" });
    if (!answer.ok) throw new Error(`the shop computer answered ${answer.status}`);
    begin(await answer.text(), revision.kind);
  } catch (problem) {
    wrong.value = whyNot(problem);
  }
}

export async function takeFile(file: File): Promise<void> {
  begin(await file.text(), /\.csv$/i.test(file.name) ? "csv" : "yaml");
}

export function write(next: Draft): void {
  draft.value = next;
  compared.value = null;
  look();
}

/** Give the text up; what counts is not touched. */
export function drop(): void {
  draft.value = null;
  compared.value = null;
  wrong.value = "";
}

let waiting: ReturnType<typeof setTimeout> | undefined;
let asked = 0;

/** Once the writer pauses, ask what is wrong with the text, or what it would change. */
function look(): void {
  clearTimeout(waiting);
  waiting = setTimeout(() => void lookNow(), WAIT_MS);
}

async function lookNow(): Promise<void> {
  const now = draft.value;
  if (!now) return;
  const mine = ++asked;
  try {
    const found = await ask<Compared>("POST", "/api/desk/print/compare", { text: now.text, kind: now.kind });
    if (mine !== asked || draft.value !== now) return;
    compared.value = found;
    wrong.value = "";
  } catch (problem) {
    if (mine === asked) wrong.value = whyNot(problem);
  }
}

/** Make the draft the print that counts. */
export async function makeItCount(): Promise<void> {
  const now = draft.value;
  if (!now) return;
  try {
    print.value = await ask<Print>("PUT", "/api/desk/print", now);
    done.value = `${print.value.aircraft}, revision ${print.value.revision}, is the print that counts. The one before is kept below; phones get this one with their next sync.`;
    drop();
  } catch (problem) {
    wrong.value = whyNot(problem);
  }
}

/** After another text was made the print: compare with that one from now on. */
export async function comparedAnew(): Promise<void> {
  await learn();
  const now = draft.value;
  if (now && print.value) write({ ...now, base: print.value.base });
}
