// Photos from this computer: sent as they are, byte for byte with all that the camera wrote, in pieces that resume.
import { signal } from "@preact/signals";
import { DetailedError, Upload } from "tus-js-client";
import { Refused, changing, get } from "../ask";

const CHUNK = 4 * 1024 * 1024;

/** A photo that the shop computer has: its SHA-256, and the name of the file that it came in. */
export interface Shot {
  media: string;
  name: string;
}

/** How far the photos are that are being sent, null while none is. */
export const sending = signal<{ name: string; at: number; of: number; done: number; bytes: number } | null>(null);

/** Send files one after the other. Refused, in words, at the first that does not arrive. */
export async function sendPhotos(files: readonly File[]): Promise<Shot[]> {
  const shots: Shot[] = [];
  try {
    for (const [at, file] of files.entries()) {
      sending.value = { name: file.name, at: at + 1, of: files.length, done: 0, bytes: file.size };
      shots.push({ media: await sendOne(file), name: nameOf(file) });
    }
  } finally {
    sending.value = null;
  }
  return shots;
}

/** When the camera says that a photo was taken, "2026-03-21T09:41" by its own clock; "" where it says nothing. */
export async function takenAt(shot: Shot): Promise<string> {
  const told = await get<{ photo: { taken: string | null } | null }>(`/api/media/${shot.media}/about`);
  return told.photo?.taken?.slice(0, 16) ?? "";
}

/** The photos among what was dropped or picked; the rest is named to be told. */
export function photosOf(files: FileList | null | undefined): { photos: File[]; others: string[] } {
  const all = [...(files ?? [])];
  const looks = (file: File): boolean => file.type.startsWith("image/") || /\.(jpe?g|png|heic|heif|webp|avif|tiff?)$/i.test(file.name);
  return { photos: all.filter(looks), others: all.filter((file) => !looks(file)).map((file) => file.name) };
}

/** Its name without control characters, no longer than the log takes. */
const nameOf = (file: File): string => file.name.replace(/[\u0000-\u001f\u007f\ud800-\udfff]/g, "").slice(-120);

async function sendOne(file: File): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", await file.arrayBuffer());
  const sha256 = [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  await new Promise<void>((arrived, failed) => {
    const upload = new Upload(file, {
      endpoint: "/api/uploads",
      chunkSize: CHUNK,
      retryDelays: [0, 1000, 3000],
      metadata: { sha256 },
      headers: changing(),
      storeFingerprintForResuming: false,
      onProgress: (done) => { if (sending.value) sending.value = { ...sending.value, done }; },
      onSuccess: () => arrived(),
      onError: (problem) => failed(new Refused("", whyOf(file, problem))),
    });
    upload.start();
  });
  return sha256;
}

function whyOf(file: File, problem: Error | DetailedError): string {
  const body = problem instanceof DetailedError ? (problem.originalResponse?.getBody() ?? "") : "";
  let detail = "the shop computer does not answer";
  try {
    detail = (JSON.parse(body) as { detail?: string }).detail ?? detail;
  } catch {
    // no answer, or none that says why
  }
  return `“${file.name}” did not arrive: ${detail}. Nothing was noted; try again.`;
}
