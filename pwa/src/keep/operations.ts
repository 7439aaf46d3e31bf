// Operations made on this phone: number, stamp and id are taken in the transaction that keeps them.
import { type Stamp, later, observe, uuid7, wall } from "./clock";
import { type JsonObject } from "./canonical";
import { type Operation, type Row, keep, withDb } from "./db";

export interface Act {
  act: string;
  /** The entry it is about; null for a note; "new" for the note made first in the same call. */
  target: string | null;
  body: JsonObject;
}

export interface Self {
  device: string;
  number: number;
  stamp: Stamp;
  /** The latest sane stamp of anyone's. */
  seen: Stamp;
  skewMs: number | null;
}

const START: Stamp = { millis: 0, counter: 0 };

const fresh = (): Self => ({
  device: `phone-${[...crypto.getRandomValues(new Uint8Array(6))].map((b) => b.toString(36).padStart(2, "0")).join("")}`,
  number: 0,
  stamp: START,
  seen: START,
  skewMs: null,
});

export const self = (): Promise<Self> =>
  keep(["facts"], async (tx) => {
    const facts = tx.objectStore("facts");
    const known = (await facts.get("self")) as Self | undefined;
    if (known) return known;
    const made = fresh();
    await facts.put(made, "self");
    return made;
  });

/** Make and keep operations for what was done at `doneMillis` by this phone's clock; `also` may write more into the same transaction. They are durable on return. */
export function record(
  acts: Act[],
  doneMillis: number = Date.now(),
  also: (tx: Parameters<Parameters<typeof keep>[1]>[0], made: Operation[]) => Promise<void> = async () => undefined,
): Promise<Operation[]> {
  return keep(["facts", "operations", "media", "pieces"], async (tx) => {
    const facts = tx.objectStore("facts");
    let me = ((await facts.get("self")) as Self | undefined) ?? fresh();
    const made: Operation[] = [];
    for (const act of acts) {
      const [operation, next] = makeOne(act, me, made[0]?.id ?? null, doneMillis);
      me = next;
      made.push(operation);
      await tx.objectStore("operations").put({ id: operation.id, operation, there: 0, receivedMillis: null });
    }
    await facts.put(me, "self");
    await also(tx, made);
    return made;
  });
}

function makeOne(act: Act, me: Self, first: string | null, shown: number): [Operation, Self] {
  const now = Date.now() - (me.skewMs ?? 0);
  const stamp = observe(me.stamp, me.seen, now);
  const operation: Operation = {
    id: uuid7(now, crypto.getRandomValues(new Uint8Array(10))),
    device: me.device,
    number: me.number + 1,
    stamp: [stamp.millis, stamp.counter],
    wall: wall(shown, -new Date(shown).getTimezoneOffset()),
    skew_ms: me.skewMs,
    act: act.act,
    target: act.target === "new" ? first : act.target,
    body: act.body,
  };
  return [operation, { ...me, number: operation.number, stamp }];
}

/** What this phone's clock, stamps included, must follow after it saw others' operations. */
export function seeing(me: Self, operations: readonly Operation[], nowMillis: number): Self {
  let seen = me.seen;
  for (const { stamp } of operations) {
    const theirs = { millis: stamp[0] ?? 0, counter: stamp[1] ?? 0 };
    if (theirs.millis <= nowMillis + 600_000) seen = later(seen, theirs);
  }
  return { ...me, seen };
}

export const all = (): Promise<Row[]> => withDb((db) => db.getAll("operations"));

export const waiting = (limit: number): Promise<Row[]> =>
  withDb(async (db) => {
    const rows = await db.getAllFromIndex("operations", "there", 0);
    return rows.sort((one, other) => one.operation.number - other.operation.number).slice(0, limit);
  });

/** Let what the shop computer put aside be sent once more: a newer one may know what an older did not. */
export const offerAgain = (): Promise<number> =>
  keep(["operations"], async (tx) => {
    const rows = await tx.objectStore("operations").index("there").getAll(2);
    for (const { why: _why, ...row } of rows) await tx.objectStore("operations").put({ ...row, there: 0 });
    return rows.length;
  });
