// An entry under way by large buttons outlives a reload, as what is typed does.
const PLACE = "plytally-half-built";

export type Picked = [field: string, value: string][];

export interface HalfBuilt {
  /** The note that it tells anew, null for one of its own. */
  about: string | null;
  /** What was done, where that was known from the beginning. */
  kind?: string | undefined;
  picked: Picked;
  /** The digits on the pad. */
  number: string;
  /** The day on which a time of the day was chosen. */
  day: string;
}

/** What an earlier visit left half built, null for nothing. */
export function halfBuilt(): HalfBuilt | null {
  try {
    return JSON.parse(localStorage.getItem(PLACE) ?? "null") as HalfBuilt | null;
  } catch {
    return null;
  }
}

/** The same, if it is this entry that was half built. */
export function leftHalfBuilt(about: string | null, kind: string | undefined): HalfBuilt | null {
  const left = halfBuilt();
  return left && left.about === about && left.kind === kind ? left : null;
}

export function keepHalfBuilt(now: HalfBuilt): void {
  try {
    localStorage.setItem(PLACE, JSON.stringify(now));
  } catch {
    // what cannot be kept stays on the screen
  }
}

/** It was kept as an entry, or given up. */
export function dropHalfBuilt(): void {
  localStorage.removeItem(PLACE);
}
