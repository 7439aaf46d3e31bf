// Everything on this phone as one ZIP file, which `plytally take-in` brings to a shop computer: the operations
// as canonical JSON Lines, sounds and photos as files, and what has not become an operation yet.
import { Zip, ZipPassThrough } from "fflate";
import { canonical } from "./canonical";
import { type Medium } from "./db";
import { all } from "./operations";
import { fileOf, media } from "./media";
import { allWritten } from "./written";

const READ_ME = `All that a phone held for plytally. "plytally take-in FILE" brings it to a shop computer.

operations.jsonl   one operation a line, in the order of this phone's copy
waiting.jsonl      written notes that had not been gone through, one a line
media.jsonl        what is in media/, one a line: when it was begun, and which entry it belongs to
media/             sounds and photos; each name begins with the first 16 digits of its SHA-256, or "unsent"
`;

export async function copyOut(told: (share: number) => void): Promise<Blob> {
  // A blob at a time, so that the browser may put them on its disk: a phone's memory does not hold a year.
  const whole: Blob[] = [];
  let parts: Uint8Array<ArrayBuffer>[] = [];
  const zip = new Zip((_problem, part) => parts.push(part.slice()));
  const put = (name: string, bytes: Uint8Array): void => {
    const file = new ZipPassThrough(name);
    zip.add(file);
    file.push(bytes, true);
    whole.push(new Blob(parts));
    parts = [];
  };
  const kept = (await media()).filter((medium) => !medium.thinned && medium.pieces > 0);
  put("read-me.txt", new TextEncoder().encode(READ_ME));
  put("operations.jsonl", lines((await all()).map((row) => new TextDecoder().decode(canonical(row.operation)))));
  put("waiting.jsonl", lines((await allWritten()).map((note) => JSON.stringify(note))));
  put("media.jsonl", lines(kept.map((medium) => JSON.stringify(aboutIt(medium)))));
  for (const [at, medium] of kept.entries()) {
    put(nameOf(medium), new Uint8Array(await (await fileOf(medium)).arrayBuffer()));
    told((at + 1) / kept.length);
  }
  zip.end();
  return new Blob([...whole, ...parts], { type: "application/zip" });
}

function nameOf(medium: Medium): string {
  const kind = medium.role === "sound" ? "wav" : (medium.mime.split("/")[1] ?? "bin").replace("jpeg", "jpg");
  return `media/${medium.sha256?.slice(0, 16) ?? "unsent"}-${medium.id.slice(-12)}.${kind}`;
}

const aboutIt = (medium: Medium) => ({
  file: nameOf(medium),
  id: medium.id,
  role: medium.role,
  mime: medium.mime,
  name: medium.name,
  millis: medium.startedMillis,
  noted: medium.stage === "noted",
  entry: medium.entry,
  remark: medium.remark ?? "",
  reading: medium.reading ?? "",
});

const lines = (each: string[]): Uint8Array => new TextEncoder().encode(each.map((line) => `${line}\n`).join(""));

/** Hand a file to the browser to be saved. */
export function save(file: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
