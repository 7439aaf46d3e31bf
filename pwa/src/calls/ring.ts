// Each clock rings once on this phone for each time it was set to: in whichever tab, or in the service worker.
import { fact, withDb } from "../keep/db";
import { type Operation } from "../keep/db";
import { record, self } from "../keep/operations";
import { type Answerable, called } from "./clock";

const RANG = "rang ";
const FORGET_MS = 60 * 24 * 3_600_000;

/** Take the ring of a clock: the operation that says so, durable; null where this phone has rung already. */
export function takeRing(clock: Answerable, late: number): Promise<Operation[] | null> {
  return navigator.locks.request(`plytally-ring-${clock.call}`, async () => {
    if ((await fact<number>(RANG + clock.call)) !== undefined) return null;
    const { device } = await self();
    const why = late >= 60_000 ? `rang here, ${Math.round(late / 60_000)} minutes late` : "rang here";
    return record([called(clock, device, why)], Date.now(), async (tx) => {
      await tx.objectStore("facts").put(Date.now(), RANG + clock.call);
    });
  });
}

/** Forget the rings of long ago. */
export function forgetRings(now: number): Promise<void> {
  return withDb(async (db) => {
    const range = IDBKeyRange.bound(RANG, `${RANG}g`);
    for (const key of await db.getAllKeys("facts", range)) {
      const at = (await db.get("facts", key)) as number;
      if (at < now - FORGET_MS) await db.delete("facts", key);
    }
  });
}
