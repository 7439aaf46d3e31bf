// The page's side of the worker that understands: one question, one answer.
import type { Answer, Asks, Name, Question } from "./messages";

export interface Mind {
  ask<N extends Name>(name: N, ...takes: Asks[N]["takes"]): Promise<Asks[N]["gives"]>;
}

export class NoUnderstanding extends Error {}

/** Start the worker. Each question is answered in turn; NoUnderstanding if the worker broke down. */
export function mind(): Mind {
  const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  const open = new Map<number, { done(gives: unknown): void; fail(why: Error): void }>();
  let last = 0;
  worker.addEventListener("message", ({ data }: MessageEvent<Answer>) => {
    const waits = open.get(data.id);
    open.delete(data.id);
    if ("wrong" in data) waits?.fail(new NoUnderstanding(data.wrong));
    else waits?.done(data.gives);
  });
  worker.addEventListener("error", (event) => {
    for (const waits of open.values()) waits.fail(new NoUnderstanding(event.message || "the worker broke down"));
    open.clear();
  });
  return {
    ask: (name, ...takes) =>
      new Promise((done, fail) => {
        const question: Question = { id: ++last, name, takes };
        open.set(question.id, { done: done as (gives: unknown) => void, fail });
        worker.postMessage(question);
      }),
  };
}
