// Where in the desk this browser is: the part of the address behind '#', such as "#day/2026-03-14".
import { signal } from "@preact/signals";

export interface Way {
  page: string;
  /** What stands behind the page's name, decoded: ["2026-03-14"]. */
  rest: readonly string[];
}

const read = (): Way => {
  const [page = "", ...rest] = location.hash.replace(/^#/, "").split("/").map(decoded);
  return { page, rest };
};

const decoded = (part: string): string => {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
};

export const way = signal<Way>(read());
addEventListener("hashchange", () => {
  way.value = read();
});

/** The address of a page of the desk, to be used in links. */
export const to = (page: string, ...rest: string[]): string => `#${[page, ...rest].map(encodeURIComponent).join("/")}`;

/** Go there; `quietly` leaves no step for the browser's Back. */
export function go(page: string, rest: string[] = [], quietly = false): void {
  if (quietly) {
    history.replaceState(null, "", to(page, ...rest));
    way.value = read();
  } else location.hash = to(page, ...rest);
}
