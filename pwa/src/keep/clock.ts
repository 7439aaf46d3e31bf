// The clock that never runs back and the ids that carry it: what core/clock.py and core/wall.py do, here.
export interface Stamp {
  readonly millis: number;
  readonly counter: number;
}

export const MAX_MILLIS = 2 ** 48 - 1;
export const MAX_COUNTER = 2 ** 20 - 1;
export const MAX_DRIFT_MS = 10 * 60 * 1000;

const bounded = (millis: number): number => Math.min(Math.max(Math.trunc(millis), 0), MAX_MILLIS);

/** The stamp for something done now: always later than `last`, whatever the wall clock says. */
export function tick(last: Stamp, nowMillis: number): Stamp {
  const now = bounded(nowMillis);
  if (now > last.millis) return { millis: now, counter: 0 };
  if (last.counter < MAX_COUNTER) return { millis: last.millis, counter: last.counter + 1 };
  return { millis: last.millis + 1, counter: 0 };
}

/** The stamp after another device's was seen; one too far ahead of now is not followed. */
export function observe(last: Stamp, remote: Stamp, nowMillis: number): Stamp {
  if (remote.millis - bounded(nowMillis) > MAX_DRIFT_MS) return tick(last, nowMillis);
  return tick(later(last, remote), nowMillis);
}

export function later(one: Stamp, other: Stamp): Stamp {
  const behind = other.millis - one.millis || other.counter - one.counter;
  return behind > 0 ? other : one;
}

/** A UUIDv7 (RFC 9562, 5.7) from Unix milliseconds and 10 random bytes, of which 74 bits are used. */
export function uuid7(millis: number, random: Uint8Array): string {
  const bytes = new Uint8Array(16);
  let rest = bounded(millis);
  for (let at = 5; at >= 0; at--) {
    bytes[at] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes.set(random.subarray(0, 10), 6);
  bytes[6] = 0x70 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** RFC 3339 with milliseconds and the offset spelt out: 2026-11-03T19:05:12.040+01:00. */
export function wall(millis: number, offsetMin: number): string {
  const local = new Date(millis + offsetMin * 60_000).toISOString().slice(0, 23);
  const away = Math.abs(offsetMin);
  const two = (number: number) => String(number).padStart(2, "0");
  return `${local}${offsetMin < 0 ? "-" : "+"}${two(Math.floor(away / 60))}:${two(away % 60)}`;
}
