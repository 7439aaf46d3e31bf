// Operations both ways: "here are mine and my cursor" - "here is what you lack, and what I refuse".
// What came, what was taken and the cursor are written in one transaction, so a cut leaves all or nothing.
import { type Operation, type Row, fact, keep } from "../keep/db";
import { type Self, seeing, self, waiting } from "../keep/operations";
import { ask, asJson } from "./ask";
import type { Outcome } from "./outcome";

export const BATCH = 200;
/** Held by whoever syncs, in whichever tab or worker. */
export const SYNC_LOCK = "plytally-sync";

interface Answer {
  cursor: { epoch: string; seq: number };
  kept: string[];
  more: boolean;
  operations: Operation[];
  received: number[];
  refused: { id: string; why: string }[];
  server_time: number;
  skew_ms: number;
}

export interface Exchanged {
  outcome: Outcome;
  came: Row[];
}

/** Send and fetch until both sides have all, or until it stops. */
export async function exchange(token: string): Promise<Exchanged> {
  const came: Row[] = [];
  let batch = BATCH;
  for (;;) {
    const rows = await waiting(batch);
    const me = await self();
    const cursor = (await fact<Answer["cursor"]>("cursor")) ?? null;
    const operations = rows.map((row) => row.operation);
    const asked = await ask("/api/sync", token, asJson({ device: me.device, operations, cursor, now: Date.now() }));
    if (asked.outcome.kind === "refused" && rows.length > 0) {
      if (rows.length > 1) batch = 1;
      else await putAside(rows[0], asked.outcome.why);
      continue;
    }
    if (asked.outcome.kind !== "taken") return { outcome: asked.outcome, came };
    const answer = asked.body as Answer;
    came.push(...(await take(answer, rows, cursor?.epoch)));
    if (!answer.more && rows.length < batch && (await waiting(1)).length === 0) return { outcome: asked.outcome, came };
    if (answer.kept.length === 0 && answer.refused.length === 0 && answer.operations.length === 0 && !answer.more) {
      return { outcome: { kind: "later", why: "the shop computer took nothing", waitMs: 60_000 }, came };
    }
  }
}

async function putAside(row: Row | undefined, why: string): Promise<void> {
  if (!row) return;
  await keep(["operations"], async (tx) => {
    await tx.objectStore("operations").put({ ...row, there: 2, why });
  });
}

/** Write down an answer; the rows that came or changed. */
function take(answer: Answer, sent: readonly Row[], epoch: string | undefined): Promise<Row[]> {
  const taken = new Set(answer.kept);
  const refused = new Map(answer.refused.map(({ id, why }) => [id, why]));
  return keep(["operations", "facts", "media"], async (tx) => {
    const rows = tx.objectStore("operations");
    const facts = tx.objectStore("facts");
    if (epoch !== undefined && epoch !== answer.cursor.epoch) await sendAllAgain(tx);
    const changed: Row[] = [];
    for (const row of sent) {
      const why = refused.get(row.id);
      if (taken.has(row.id)) changed.push({ ...row, there: 1, receivedMillis: answer.server_time });
      else if (why !== undefined) changed.push({ ...row, there: 2, why });
    }
    answer.operations.forEach((operation, at) => {
      changed.push({ id: operation.id, operation, there: 1, receivedMillis: answer.received[at] ?? answer.server_time });
    });
    for (const row of changed) await rows.put(row);
    const me = (await facts.get("self")) as Self;
    await facts.put({ ...ahead(me, answer), skewMs: answer.skew_ms }, "self");
    await facts.put(answer.cursor, "cursor");
    await facts.put(Date.now(), "syncedAt");
    return changed;
  });
}

/** Another log answers than before: a restored or new shop computer. All that is here goes there again. */
async function sendAllAgain(tx: Parameters<Parameters<typeof keep>[1]>[0]): Promise<void> {
  const rows = tx.objectStore("operations");
  const me = (await tx.objectStore("facts").get("self")) as Self;
  for (const row of await rows.getAll()) {
    if (row.operation.device === me.device && row.there === 1) await rows.put({ ...row, there: 0 });
  }
  const media = tx.objectStore("media");
  for (const medium of await media.getAll()) {
    if (medium.there === 1 && !medium.thinned) await media.put({ ...medium, there: 0 });
  }
}

/** Follow others' stamps, and never reuse a number of ours that the shop computer knows. */
function ahead(me: Self, answer: Answer): Self {
  const mine = answer.operations.filter((operation) => operation.device === me.device);
  const number = Math.max(me.number, ...mine.map((operation) => operation.number));
  return { ...seeing(me, answer.operations, answer.server_time), number };
}
