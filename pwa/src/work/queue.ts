// What was kept is gone through here, one piece after the other: heard, understood, noted, said back.
// A piece leaves the line only in the transaction that notes it, so a reload goes on where this stopped.
import { type JsonObject } from "../keep/canonical";
import { type Medium, type Operation, type Row, withDb } from "../keep/db";
import { fileOf, media, samplesOf, sha256 } from "../keep/media";
import { PREFIX, type Written, allWritten, keepWords } from "../keep/written";
import { changes } from "../calls/clock";
import { type Act, all, record, self } from "../keep/operations";
import type { Hearing } from "../hear/messages";
import { soundContext } from "../capture/microphone";
import { signal } from "../capture/signals";
import { wall } from "../keep/clock";
import { whyNotKept } from "../keep/room";
import { say } from "../speak/speak";
import * as state from "../state";
import { soon } from "../sync/sync";
import type { Reply } from "../understand/messages";
import { keepReading } from "../voice/voice";
import { count } from "./counting";
import { show, theEar, theMind, timeOf } from "./thinking";

let line: Promise<void> = Promise.resolve();
const inLine = new Set<string>();

/** Put a closed recording or photo into the line. */
export function enqueue(medium: Medium): void {
  inOrder(medium.id, () => alone(medium.id));
}

function inOrder(id: string, work: () => Promise<void>): void {
  if (inLine.has(id)) return;
  inLine.add(id);
  state.inLine.value = inLine.size;
  line = line
    .then(work)
    .catch((problem: unknown) => {
      state.said.value = { lines: [`kept, and not gone through yet: ${String(problem)}`], entry: null, tone: "wrong" };
    })
    .finally(() => {
      inLine.delete(id);
      state.inLine.value = inLine.size;
    });
}

/** In one tab only, and only if no tab has noted it meanwhile. */
function alone(id: string): Promise<void> {
  return navigator.locks.request(`plytally-note-${id}`, async () => {
    const medium = await withDb((db) => db.get("media", id));
    if (!medium || medium.stage !== "closed") return;
    if (medium.reading !== undefined) return keepReading(medium);
    await (medium.role === "photo" ? notePhoto(medium) : noteSound(medium));
  });
}

/** Everything that an earlier visit kept and did not finish. */
export async function takeUpAgain(): Promise<number> {
  const kept = (await media()).filter((medium) => medium.stage === "closed");
  kept.sort((one, other) => one.startedMillis - other.startedMillis);
  for (const medium of kept) enqueue(medium);
  for (const written of await allWritten()) goThrough(written);
  return kept.length;
}

async function noteSound(medium: Medium): Promise<void> {
  const hash = sha256(await (await fileOf(medium)).arrayBuffer());
  const hearing = await hear(medium);
  const from = performance.now();
  const reply = await understood(hearing, medium);
  performance.measure("words to entry", { start: from });
  const made = await keepReply(reply, { ...medium, sha256: await hash }, medium.startedMillis);
  await tellBack(reply, made);
}

async function hear(medium: Medium): Promise<Hearing | null> {
  const ear = await theEar();
  const mind = await theMind();
  if (!ear || !mind) return null;
  try {
    const from = performance.now();
    const hearing = await ear.hear(await samplesOf(medium), mind, begunAt(medium));
    performance.measure("hearing and weighing", { start: from });
    return hearing;
  } catch (problem) {
    state.earPower.value = { kind: "off", why: String(problem) };
    return null;
  }
}

const begunAt = ({ startedMillis }: Medium): string => wall(startedMillis, -new Date(startedMillis).getTimezoneOffset());

async function understood(hearing: Hearing | null, medium: Medium): Promise<Reply> {
  const mind = await theMind();
  const words: JsonObject = hearing ?? {
    engine: "none", covered: false, seconds: (medium.bytes / 32_000).toFixed(2), words: [], alternatives: [],
    remarks: [],
  };
  if (medium.remark) words["remarks"] = [medium.remark];
  if (mind) {
    return mind.ask("take", words, begunAt(medium), changes(medium.startedMillis), (await self()).skewMs ?? 0);
  }
  return soundOnly(words);
}

/** A note for a sound that nothing on this phone could understand. */
function soundOnly(hearing: JsonObject): Reply {
  const doubt = { field: "text", heard: "", runner_up: "", why: "this phone could not understand it; the recording is kept" };
  const entry = { kind: "note", fields: {}, said: "", unused: [] };
  const body = { entry, doubts: [doubt], hearing, author: "builder" };
  return { makes: "entry", acts: [{ act: "note", target: null, body }], target: "new", lines: ["kept, not understood"] };
}

const attach = (target: string, medium: Medium): Act => ({
  act: "attach",
  target,
  body: {
    media: medium.sha256 ?? "", mime: medium.mime, size: medium.role === "sound" ? medium.bytes + 44 : medium.bytes,
    role: medium.role, name: medium.name, author: "builder",
  },
});

/** The reply's acts and the sound's place in the log, in one transaction. */
async function keepReply(reply: Reply, medium: Medium, doneMillis: number): Promise<Operation[]> {
  const target = reply.target ?? null;
  const acts = target === null ? reply.acts : [...reply.acts, attach(target, medium)];
  const made = await record(acts, doneMillis, async (tx, operations) => {
    const entry = target === "new" ? (operations[0]?.id ?? null) : target;
    await tx.objectStore("media").put({ ...medium, stage: "noted", entry });
  });
  await shown(made);
  return made;
}

export async function shown(made: readonly Operation[]): Promise<void> {
  const rows: Row[] = made.map((operation) => ({ id: operation.id, operation, there: 0, receivedMillis: null }));
  await show(rows);
  await count();
  soon(1500);
}

export async function tellBack(reply: Reply, made: readonly Operation[]): Promise<void> {
  const entry = reply.target === "new" ? (made[0]?.id ?? null) : (reply.target ?? null);
  const inDoubt = state.board.value?.to_settle.some((each) => each.id === entry && each.doubts.length > 0) ?? false;
  state.said.value = { lines: reply.lines, entry, tone: inDoubt ? "doubt" : "plain" };
  if (reply.name === "new_photo") state.notice.value = "photo";
  if (inDoubt) signal("doubt", soundContext(), state.settings.value.tones);
  say(reply.say ?? reply.lines);
}

/** A photo belongs to the entry before it; to an entry of its own where there is none. */
async function notePhoto(medium: Medium): Promise<void> {
  const last = medium.entry ?? (await entryBefore());
  const own: Act = {
    act: "note",
    target: null,
    body: { entry: { kind: "photo", fields: {}, said: "", unused: [] }, doubts: [], hearing: null, author: "builder" },
  };
  const acts = last ? [attach(last, medium)] : [own, attach("new", medium)];
  const made = await record(acts, medium.startedMillis, async (tx, operations) => {
    await tx.objectStore("media").put({ ...medium, stage: "noted", entry: last ?? operations[0]?.id ?? null });
  });
  await shown(made);
}

/** By the log where it can be read, else by this phone's own notes. */
async function entryBefore(): Promise<string | null> {
  if (await theMind()) return state.board.value?.entries.find((entry) => entry.withdrawn === null)?.id ?? null;
  const notes = (await all()).map((row) => row.operation).filter((made) => made.act === "note");
  const { device } = await self();
  return notes.filter((made) => made.device === device).sort((a, b) => b.number - a.number)[0]?.id ?? null;
}

/** Written words: kept at once, then in the line like spoken ones. */
export async function enqueueWords(text: string): Promise<void> {
  goThrough(await keepWords(text));
}

function goThrough(written: Written): void {
  inOrder(written.id, () =>
    navigator.locks.request(`plytally-note-${written.id}`, async () => {
      if (!(await allWritten()).some((each) => each.id === written.id)) return;
      const mind = await theMind();
      const at = wall(written.millis, -new Date(written.millis).getTimezoneOffset());
      const reply = mind ? await mind.ask("take", written.text, at, changes(written.millis), (await self()).skewMs ?? 0) : typedOnly(written.text);
      const made = await record(reply.acts, written.millis, async (tx) => {
        await tx.objectStore("facts").delete(PREFIX + written.id);
      });
      await shown(made);
      await tellBack(reply, made);
    }),
  );
}

function typedOnly(text: string): Reply {
  const entry = { kind: "note", fields: { text }, said: text, unused: [] };
  const body = { entry, doubts: [], hearing: null, author: "builder" };
  return { makes: "entry", acts: [{ act: "note", target: null, body }], target: "new", lines: [`plain note: ${text}`] };
}

/** Scratch an entry by touch; it stays readable, and what was said of it too. */
export function scratch(entry: string): Promise<void> {
  line = line.then(async () => {
    const reply = await (await theMind())?.ask("scratch", entry);
    if (!reply) return;
    await shown(await record(reply.acts));
    state.said.value = { lines: reply.lines, entry: null, tone: "plain" };
    say(reply.lines);
  }).catch((problem: unknown) => {
    state.said.value = { lines: [`not scratched: ${whyNotKept(problem)}`], entry, tone: "wrong" };
  });
  return line;
}

/** Answer a doubt by touch. */
export function settle(entry: string, field: string, choice: string): Promise<void> {
  line = line.then(async () => {
    const mind = await theMind();
    if (!mind) return;
    const reply = await mind.ask("settle", entry, field, choice, (await timeOf(entry))[0]);
    await shown(await record(reply.acts));
    const row = state.board.value?.entries.find((each) => each.id === entry);
    const open = (row?.doubts.length ?? 0) > 0;
    const lines = reply.lines.length ? reply.lines : row ? [row.line] : [];
    state.said.value = { lines, entry, tone: open ? "doubt" : "plain" };
    say(lines);
  });
  return line;
}
