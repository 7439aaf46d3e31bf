// A note told by large buttons: what to choose next comes from core, and a note that was not understood becomes
// what was chosen, with its sound.
import { record } from "../keep/operations";
import { whyNotKept } from "../keep/room";
import * as state from "../state";
import type { Chosen } from "../understand/messages";
import { shown, tellBack } from "./queue";
import { nowText, theMind, timeOf } from "./thinking";

/** What to choose next; null where this phone cannot think. */
export async function chosen(picked: Record<string, string>): Promise<Chosen | null> {
  return (await (await theMind())?.ask("choose", picked)) ?? null;
}

/** Make a note what the sentence says; whether it is kept. If not, it is said. */
export async function retell(entry: string, sentence: string): Promise<boolean> {
  const mind = await theMind();
  if (!mind) return false;
  try {
    const reply = await mind.ask("retell", entry, sentence, nowText(), ...(await timeOf(entry)));
    const made = await record(reply.acts);
    await shown(made);
    await tellBack(reply, made);
    return true;
  } catch (problem) {
    state.said.value = { lines: [`not kept: ${whyNotKept(problem)}`], entry, tone: "wrong" };
    return false;
  }
}
