// The day that is open: its entries, the one that is looked at, and what is being done to it.
import { signal } from "@preact/signals";
import { Refused, ask, get, whyNot } from "../ask";
import { type Act, answered, request } from "./request";
import type { DayTold, DaysTold, Done, Entry, Proposal, Row, WaySaid } from "./shapes";

export const days = signal<DaysTold | null>(null);
export const day = signal<DayTold | null>(null);
export const entry = signal<Entry | null>(null);
export const marked = signal<ReadonlySet<string>>(new Set());
/** What was last said of what was done, or why it was not. */
export const told = signal<{ text: string; wrong: boolean }>({ text: "", wrong: false });
/** What is proposed for the vocabulary; `late` if it came after the correction, when somebody may be typing elsewhere. */
export const teach = signal<(Proposal & { entry: string; late?: boolean }) | null>(null);
export const busy = signal(false);

const say = (text: string, wrong = false): void => {
  told.value = { text, wrong };
};

export async function loadDays(): Promise<void> {
  await trying(async () => {
    days.value = await get<DaysTold>("/api/desk/days");
  });
}

export async function loadDay(name: string): Promise<void> {
  await trying(async () => {
    if (day.value?.day !== name) marked.value = new Set();
    day.value = await get<DayTold>(`/api/desk/days/${encodeURIComponent(name)}`);
  });
}

/** Show an entry; an answer that comes after another entry was asked for is dropped. */
let wanted = "";
export async function loadEntry(id: string): Promise<void> {
  wanted = id;
  if (!id) {
    entry.value = null;
    return;
  }
  await trying(async () => {
    const found = await get<Entry>(`/api/desk/entries/${id}`);
    if (wanted === id) take([found]);
  });
}

/** Take newer words on entries into what is shown. */
function take(entries: readonly Entry[]): void {
  const byId = new Map<string, Row>(entries.map((each) => [each.id, each]));
  const open = day.value;
  if (open) day.value = { ...open, entries: open.entries.map((row) => byId.get(row.id) ?? row) };
  const shown = entries.find((each) => each.id === wanted);
  if (shown) entry.value = shown;
}

const CORRECTS = new Set(["correct", "answer", "reword", "settle"]);

/** Ask whether the sound of a corrected entry speaks for another pronunciation; that takes as long as the note. */
async function lookForWays(about: Entry): Promise<void> {
  if (!about.attachments.some((each) => each.role === "sound")) return;
  try {
    const { ways } = await get<{ ways: WaySaid[] }>(`/api/desk/entries/${about.id}/ways`);
    const [way] = ways;
    if (!way || teach.value || entry.value?.id !== about.id) return;
    teach.value = { ...way.teach, said_as: way.teach.said_as.join(", "), known: true, heard: [way.heard], sounds: [], entry: about.id, late: true };
  } catch {
    // nothing is proposed; what was corrected is kept
  }
}

let line: Promise<unknown> = Promise.resolve();

/** Do one act, after those before it. The same key goes along when it is tried again, so that it is done once. Null if it was not done. */
export function act(what: Act, done: string): Promise<Done | null> {
  const mine = line.then(() => one(what, done));
  line = mine.then((answer) => after(what, answer));
  return mine;
}

async function one(what: Act, done: string): Promise<Done | null> {
  busy.value = true;
  try {
    const answer = await ask<Done>("POST", "/api/desk/acts", request(what));
    answered();
    take(answer.entries);
    const [left] = answer.left;
    if (left) say(answer.left.length === 1 ? left.why : `${answer.left.length} were left: ${left.why}`, true);
    else say(done);
    const about = answer.entries[0];
    teach.value = answer.teach && about ? { ...answer.teach, entry: about.id } : null;
    if (about && !answer.teach && CORRECTS.has(what.act)) void lookForWays(about);
    return answer;
  } catch (problem) {
    if (problem instanceof Refused && problem.kind !== "") answered();
    say(whyNot(problem), true);
    return null;
  } finally {
    busy.value = false;
  }
}

/** Show what else it changed; the next act waits for that. */
async function after(what: Act, answer: Done | null): Promise<void> {
  if (!answer || what.act === "split" || what.act === "join" || what.act === "note" || what.act === "note_photos") await again();
  await loadDays();
}

/** Show anew what is open, because something came to it from elsewhere. */
export async function again(): Promise<void> {
  const sentence = told.value;
  if (day.value) await loadDay(day.value.day);
  if (wanted) await loadEntry(wanted);
  told.value = sentence;
}

async function trying(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (problem) {
    say(whyNot(problem), true);
  }
}

export { say };
