// One spelling for a JSON value, so that equal values are equal bytes here and in Python (core/canonical.py).
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
export type JsonObject = { [key: string]: Json };

/** The canonical bytes; RangeError for what has none: a number that is not whole, a key that is not ASCII. */
export function canonical(value: Json): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(spelt(value));
}

function spelt(value: Json): string {
  if (typeof value === "number" && !Number.isSafeInteger(value)) {
    throw new RangeError(`${value} is no whole number within ±(2^53 - 1)`);
  }
  if (typeof value === "string" && !value.isWellFormed()) throw new RangeError("half a character in a text");
  if (Array.isArray(value)) return `[${value.map(spelt).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const keys = Object.keys(value).sort((one, other) => (one < other ? -1 : 1));
  return `{${keys.map((key) => `${keySpelt(key)}:${spelt(value[key] ?? null)}`).join(",")}}`;
}

function keySpelt(key: string): string {
  if (!/^[ -~]{1,64}$/.test(key)) {
    throw new RangeError(`the key ${JSON.stringify(key)} is not 1 to 64 printable ASCII characters`);
  }
  return JSON.stringify(key);
}
