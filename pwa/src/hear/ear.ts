// The page's side of the worker that hears. If the phone is too small for the engine, this says so; recording
// does not depend on it.
import type { Ears, Rival } from "../understand/messages";
import type { Answer, Hearing, Question } from "./messages";

export class NoHearing extends Error {}

export interface Ear {
  hear(samples: Int16Array<ArrayBuffer>): Promise<Hearing>;
  weigh(hearing: Hearing, rivals: Rival[]): Promise<Hearing>;
  close(): void;
}

type Asked = Question extends infer Q ? (Q extends { id: number } ? Omit<Q, "id"> : never) : never;

/** Load the engine; NoHearing if it does not load or breaks down. */
export async function ear(ears: Ears, means?: ArrayBuffer): Promise<Ear> {
  const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  const open = new Map<number, { done(gives: Hearing | null): void; fail(why: Error): void }>();
  let last = 0;
  worker.addEventListener("message", ({ data }: MessageEvent<Answer>) => {
    const waits = open.get(data.id);
    open.delete(data.id);
    if ("wrong" in data) waits?.fail(new NoHearing(data.wrong));
    else waits?.done(data.gives);
  });
  worker.addEventListener("error", (event) => {
    for (const waits of open.values()) waits.fail(new NoHearing(event.message || "the engine broke down"));
    open.clear();
  });
  const ask = (question: Asked): Promise<Hearing | null> =>
    new Promise((done, fail) => {
      const id = ++last;
      open.set(id, { done, fail });
      worker.postMessage({ ...question, id });
    });
  const gives = async (question: Asked): Promise<Hearing> => {
    const hearing = await ask(question);
    if (!hearing) throw new NoHearing("the engine gave no answer");
    return hearing;
  };
  await ask({ name: "open", ears, means });
  return {
    hear: (samples) => gives({ name: "hear", samples }),
    weigh: (hearing, rivals) => gives({ name: "weigh", hearing, rivals }),
    close: () => worker.terminate(),
  };
}
