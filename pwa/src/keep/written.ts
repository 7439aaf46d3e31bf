// Written notes that are kept and not yet gone through: durable from the moment the builder touches "Keep".
import { uuid7 } from "./clock";
import { keep, withDb } from "./db";

export interface Written {
  id: string;
  text: string;
  millis: number;
}

export const PREFIX = "written ";

export async function keepWords(text: string): Promise<Written> {
  const millis = Date.now();
  const written = { id: uuid7(millis, crypto.getRandomValues(new Uint8Array(10))), text, millis };
  await keep(["facts"], async (tx) => {
    await tx.objectStore("facts").put(written, PREFIX + written.id);
  });
  return written;
}

export const allWritten = (): Promise<Written[]> =>
  withDb((db) => db.getAll("facts", IDBKeyRange.bound(PREFIX, `${PREFIX}g`)) as Promise<Written[]>);
