// Room on the phone: asked to be kept, measured, and made by letting go of what the shop computer has.
import { type Medium, isFull, keepAsItIs } from "./db";
import { media } from "./media";

export interface Room {
  used: number;
  whole: number;
  /** Whether the browser promised not to clear it by itself. */
  lasting: boolean;
}

const FULL = 0.8;
const LOW_BYTES = 60_000_000;
const FREED_BYTES = 20_000_000;

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

/** What a failure to keep something means, in words for the builder. */
export function whyNotKept(problem: unknown): string {
  if (isFull(problem)) {
    return "the phone's storage is full. Save everything to a file, or free room in the phone's settings";
  }
  return problem instanceof Error ? problem.message : String(problem);
}

const oldestThere = async (): Promise<Medium[]> => {
  const there = (await media()).filter((medium) => medium.there === 1 && !medium.thinned);
  return there.sort((one, other) => one.startedMillis - other.startedMillis);
};

/** Let go of the oldest sounds and photos that the shop computer has, until there is room; how many went. */
export async function makeRoom(): Promise<number> {
  let gone = 0;
  for (const medium of await oldestThere()) {
    if (!isLow(await room())) break;
    await letGo(medium);
    gone += 1;
  }
  return gone;
}

let making: Promise<boolean> | undefined;

/** The storage refused a write: let go of the oldest that the shop computer has; whether any was there. */
export function makeRoomNow(): Promise<boolean> {
  making ??= freed().finally(() => {
    making = undefined;
  });
  return making;
}

async function freed(): Promise<boolean> {
  let bytes = 0;
  for (const medium of await oldestThere()) {
    if (bytes >= FREED_BYTES) break;
    await letGo(medium);
    bytes += medium.bytes;
  }
  return bytes > 0;
}

/** On a full phone nothing can be written before something is deleted, so there the deleting comes first. */
async function letGo(medium: Medium): Promise<void> {
  const range = IDBKeyRange.bound([medium.id, 0], [medium.id, medium.pieces]);
  const mark = (): Promise<void> =>
    keepAsItIs(["media", "pieces"], async (tx) => {
      await tx.objectStore("pieces").delete(range);
      await tx.objectStore("media").put({ ...medium, thinned: true });
    });
  try {
    await mark();
  } catch (problem) {
    if (!isFull(problem)) throw problem;
    await keepAsItIs(["pieces"], (tx) => tx.objectStore("pieces").delete(range));
    await mark().catch(() => undefined); // without the mark it is let go again another time
  }
}
