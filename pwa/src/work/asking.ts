// How the page asks a worker: each question has a number, and its answer comes back under the same.
export type Answered = { id: number; gives: unknown } | { id: number; wrong: string };

interface Waits {
  done(gives: unknown): void;
  fail(why: Error): void;
}

/**
 * A function that asks the worker and gives its answer. What the worker refuses, and all that waits when it breaks
 * down, is rejected with the error that `failed` makes of the words; `brokeDown` are the words if it gives none.
 */
export function asking<Asked>(worker: Worker, failed: (why: string) => Error, brokeDown: string): (asked: Asked) => Promise<unknown> {
  const open = new Map<number, Waits>();
  let last = 0;
  worker.addEventListener("message", ({ data }: MessageEvent<Answered>) => {
    const waits = open.get(data.id);
    open.delete(data.id);
    if ("wrong" in data) waits?.fail(failed(data.wrong));
    else waits?.done(data.gives);
  });
  worker.addEventListener("error", (event) => {
    for (const waits of open.values()) waits.fail(failed(event.message || brokeDown));
    open.clear();
  });
  return (asked) =>
    new Promise((done, fail) => {
      const id = ++last;
      open.set(id, { done, fail });
      worker.postMessage({ ...asked, id });
    });
}
