// What the shop computer's answer means for the phone, in one pure function. Only `taken` ever changes what
// counts as being on the shop computer.
export type Outcome =
  | { kind: "taken" }
  /** Not now: no network, a server that is down, busy or full. Nothing changes. */
  | { kind: "later"; why: string; waitMs: number }
  /** The token is not good any more. Nothing is lost; the phone must be paired again. */
  | { kind: "pair again"; why: string }
  /** The server will not take this request as it is; smaller parts may pass. */
  | { kind: "refused"; why: string };

const SOON = 5_000;

/** `status` is 0 where no answer came; `detail` is the answer's own sentence, if it had one. */
export function outcome(status: number, detail: string, retryAfter: string | null): Outcome {
  if (status >= 200 && status < 300) return { kind: "taken" };
  if (status === 401 || status === 403) return { kind: "pair again", why: detail || "this phone is not paired" };
  if (status === 400 || status === 413 || status === 422) return { kind: "refused", why: detail };
  const wait = Number(retryAfter);
  const waitMs = Number.isFinite(wait) && wait > 0 ? wait * 1000 : SOON;
  return { kind: "later", why: detail || (status === 0 ? "the shop computer is not in reach" : `answer ${status}`), waitMs };
}
