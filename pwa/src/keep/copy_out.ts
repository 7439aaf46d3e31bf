// Everything on this phone as one ZIP file: the operations as canonical JSON Lines, sounds and photos as files.
import { Zip, ZipPassThrough } from "fflate";
import { canonical } from "./canonical";
import { all } from "./operations";
import { fileOf, media } from "./media";

const READ_ME = `All that a phone held for plytally.

operations.jsonl   one operation a line, in the order of this phone's copy
media/             sounds and photos; each name begins with the first 16 digits of its SHA-256, or "unsent"
`;

export async function copyOut(told: (share: number) => void): Promise<Blob> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const zip = new Zip((_problem, part) => parts.push(part.slice()));
  const put = (name: string, bytes: Uint8Array): void => {
    const file = new ZipPassThrough(name);
    zip.add(file);
    file.push(bytes, true);
  };
  put("read-me.txt", new TextEncoder().encode(READ_ME));
  put("operations.jsonl", await lines());
  const kept = (await media()).filter((medium) => !medium.thinned);
  for (const [at, medium] of kept.entries()) {
    const kind = medium.role === "sound" ? "wav" : (medium.mime.split("/")[1] ?? "bin").replace("jpeg", "jpg");
    const name = `media/${medium.sha256?.slice(0, 16) ?? "unsent"}-${medium.id.slice(-12)}.${kind}`;
    put(name, new Uint8Array(await (await fileOf(medium)).arrayBuffer()));
    told((at + 1) / kept.length);
  }
  zip.end();
  return new Blob(parts, { type: "application/zip" });
}

async function lines(): Promise<Uint8Array> {
  const rows = await all();
  const parts = rows.map((row) => new TextDecoder().decode(canonical(row.operation)));
  return new TextEncoder().encode(parts.map((part) => `${part}\n`).join(""));
}

/** Hand a file to the browser to be saved. */
export function save(file: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
