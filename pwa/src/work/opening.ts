// The entry that a notification asked for: it may be older than all that the page shows, or not be here yet.
import * as state from "../state";
import type { Line } from "../understand/messages";
import { theMind } from "./thinking";

/** The entry itself, null if this phone does not have it; undefined while nobody knows, or where the page shows it anyhow. */
export async function findOpened(onPage: readonly Line[]): Promise<Line | null | undefined> {
  const asked = state.opened.value;
  if (asked === null || onPage.some((line) => line.id === asked)) return undefined;
  return (await theMind())?.ask("entry", asked);
}
