// The page's side of the worker that understands: one question, one answer.
import { asking } from "../work/asking";
import type { Asks, Name, Question } from "./messages";

export interface Mind {
  ask<N extends Name>(name: N, ...takes: Asks[N]["takes"]): Promise<Asks[N]["gives"]>;
}

export class NoUnderstanding extends Error {}

/** Start the worker. Each question is answered in turn; NoUnderstanding if the worker broke down. */
export function mind(): Mind {
  const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  const ask = asking<Omit<Question, "id">>(worker, (why) => new NoUnderstanding(why), "the worker broke down");
  return { ask: <N extends Name>(name: N, ...takes: Asks[N]["takes"]) => ask({ name, takes }) as Promise<Asks[N]["gives"]> };
}
