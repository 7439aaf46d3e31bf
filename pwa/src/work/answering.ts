// From the log to the bench: an entry that waits is asked about again, and what a part is owed is asked for.
import * as state from "../state";
import type { Line } from "../understand/messages";
import { keepWritten } from "./writing";

/** Ask about this entry now, also if it had been left for the desk. */
export function answerNow(line: Line): void {
  state.screen.value = "work";
  if (line.doubts.some(({ field }) => field === "text")) {
    state.building.value = { about: line.id };
    return;
  }
  state.leftForDesk.value = new Set([...state.leftForDesk.value].filter((left) => !left.startsWith(`${line.id} `)));
  state.said.value = { lines: [line.line], entry: line.id, tone: "doubt" };
}

/** The same question that a voice would ask. */
export async function askOwed(place: string): Promise<void> {
  state.screen.value = "work";
  await keepWritten(`what is owed on the ${place}`);
}
