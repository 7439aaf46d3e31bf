// Room on the phone: asked to be kept, measured, and made by letting go of what the shop computer has.
import { keep } from "./db";
import { media } from "./media";

export interface Room {
  used: number;
  whole: number;
  /** Whether the browser promised not to clear it by itself. */
  lasting: boolean;
}

const FULL = 0.8;
const LOW_BYTES = 60_000_000;

export async function askToLast(): Promise<boolean> {
  return (await navigator.storage?.persist?.()) ?? false;
}

export async function room(): Promise<Room> {
  const found = await navigator.storage?.estimate?.();
  const lasting = (await navigator.storage?.persisted?.()) ?? false;
  return { used: found?.usage ?? 0, whole: found?.quota ?? 0, lasting };
}

export const isLow = ({ used, whole }: Room): boolean =>
  whole > 0 && (used > whole * FULL || whole - used < LOW_BYTES);

/** Let go of the oldest sounds and photos that the shop computer has, until there is room; how many went. */
export async function makeRoom(): Promise<number> {
  const there = (await media()).filter((medium) => medium.there === 1 && !medium.thinned);
  there.sort((one, other) => one.startedMillis - other.startedMillis);
  let gone = 0;
  for (const medium of there) {
    if (!isLow(await room())) break;
    await keep(["media", "pieces"], async (tx) => {
      await tx.objectStore("pieces").delete(IDBKeyRange.bound([medium.id, 0], [medium.id, medium.pieces]));
      await tx.objectStore("media").put({ ...medium, thinned: true });
    });
    gone += 1;
  }
  return gone;
}
