// Written words: what is typed outlives a reload, and leaves the field only when it is kept.
import { whyNotKept } from "../keep/room";
import * as state from "../state";
import { enqueueWords } from "./queue";

const DRAFT = "plytally-draft";

export function draft(): string {
  try {
    return localStorage.getItem(DRAFT) ?? "";
  } catch {
    return "";
  }
}

export function keepDraft(text: string): void {
  try {
    if (text) localStorage.setItem(DRAFT, text);
    else localStorage.removeItem(DRAFT);
  } catch {
    // a draft that cannot be kept stays in its field
  }
}

/** Keep the words; whether they are kept now. If not, it is said, and they stay in the field. */
export async function keepWritten(text: string): Promise<boolean> {
  try {
    if (text) await enqueueWords(text);
    keepDraft("");
    return true;
  } catch (problem) {
    state.said.value = { lines: [`not kept: ${whyNotKept(problem)}`], entry: null, tone: "wrong" };
    return false;
  }
}
