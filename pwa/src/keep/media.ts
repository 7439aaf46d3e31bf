// Sounds and photos: numbered pieces of at most 1 MB, each durable before the next is taken.
import { uuid7 } from "./clock";
import { type Medium, keep, withDb } from "./db";

export const PIECE = 1_000_000;
export const RATE = 16_000;

const newId = (): string => uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)));

function begun(role: Medium["role"], mime: string, name: string): Medium {
  return {
    id: newId(), role, mime, name, startedMillis: Date.now(), stage: "open", pieces: 0, bytes: 0,
    sha256: null, entry: null, there: 0, thinned: false,
  };
}

/** A new recording; it is there from `putMedium` on. */
export const newSound = (): Medium => begun("sound", "audio/wav", "");

/** Add a piece of 16-bit samples to a recording; durable on return. */
export function addPiece(id: string, samples: Int16Array<ArrayBuffer>): Promise<void> {
  return keep(["media", "pieces"], async (tx) => {
    const medium = await tx.objectStore("media").get(id);
    if (!medium) throw new Error("the recording that this piece belongs to is gone");
    const piece = samples.slice().buffer;
    await tx.objectStore("pieces").put(piece, [id, medium.pieces]);
    await tx.objectStore("media").put({
      ...medium, pieces: medium.pieces + 1, bytes: medium.bytes + piece.byteLength,
    });
  });
}

/** No more pieces will come; the medium as it is kept then. */
export function closeSound(id: string, remark = ""): Promise<Medium> {
  return keep(["media"], async (tx) => {
    const medium = await tx.objectStore("media").get(id);
    if (!medium) throw new Error("the recording is gone");
    const closed: Medium = { ...medium, stage: "closed", ...(remark ? { remark } : {}) };
    await tx.objectStore("media").put(closed);
    return closed;
  });
}

/** Keep a photo's own bytes, in pieces, all or none; durable on return. */
export async function keepPhoto(file: File, entry: string | null): Promise<Medium> {
  const bytes = await file.arrayBuffer();
  const count = Math.max(1, Math.ceil(bytes.byteLength / PIECE));
  const medium: Medium = {
    ...begun("photo", file.type || "image/jpeg", file.name),
    stage: "closed", pieces: count, bytes: bytes.byteLength, sha256: await sha256(bytes), entry,
  };
  await keep(["media", "pieces"], async (tx) => {
    for (let at = 0; at < count; at++) {
      await tx.objectStore("pieces").put(bytes.slice(at * PIECE, (at + 1) * PIECE), [medium.id, at]);
    }
    await tx.objectStore("media").put(medium);
  });
  return medium;
}

export async function pieces(medium: Medium): Promise<ArrayBuffer[]> {
  return withDb((db) => db.getAll("pieces", IDBKeyRange.bound([medium.id, 0], [medium.id, medium.pieces])));
}

/** The samples of a recording, as far as they are there. */
export async function samplesOf(medium: Medium): Promise<Int16Array<ArrayBuffer>> {
  const parts = await pieces(medium);
  const whole = new Int16Array(parts.reduce((sum, part) => sum + part.byteLength / 2, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(new Int16Array(part), at);
    at += part.byteLength / 2;
  }
  return whole;
}

/** The file that goes to the shop computer: a WAV for a sound, a photo's own bytes. */
export async function fileOf(medium: Medium): Promise<Blob> {
  const parts = await pieces(medium);
  if (medium.role === "photo") return new Blob(parts, { type: medium.mime });
  const bytes = parts.reduce((sum, part) => sum + part.byteLength, 0);
  return new Blob([wavHead(bytes), ...parts], { type: "audio/wav" });
}

export function wavHead(bytes: number): ArrayBuffer {
  const head = new DataView(new ArrayBuffer(44));
  const text = (at: number, word: string) => [...word].forEach((c, i) => head.setUint8(at + i, c.charCodeAt(0)));
  text(0, "RIFF");
  head.setUint32(4, 36 + bytes, true);
  text(8, "WAVEfmt ");
  head.setUint32(16, 16, true);
  head.setUint16(20, 1, true);
  head.setUint16(22, 1, true);
  head.setUint32(24, RATE, true);
  head.setUint32(28, RATE * 2, true);
  head.setUint16(32, 2, true);
  head.setUint16(34, 16, true);
  text(36, "data");
  head.setUint32(40, bytes, true);
  return head.buffer;
}

export async function sha256(bytes: ArrayBuffer): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

export const media = (): Promise<Medium[]> => withDb((db) => db.getAll("media"));

export const putMedium = (medium: Medium): Promise<void> =>
  keep(["media"], async (tx) => {
    await tx.objectStore("media").put(medium);
  });
