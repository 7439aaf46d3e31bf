// One request to the shop computer, with a deadline: "online" lies, and a request may hang for ever.
import { type Outcome, outcome } from "./outcome";

export const DEADLINE_MS = 20_000;

export interface Asked {
  outcome: Outcome;
  body: unknown;
  etag: string | null;
  notModified: boolean;
}

/**
 * Never rejects: no answer is an answer too. A phone has a token; a desk's cookie in the same browser is not its own,
 * so no cookie goes along, but for pairing: the cookie that outlives a cleared storage.
 */
export async function ask(path: string, token: string | null, options: RequestInit = {}): Promise<Asked> {
  const headers = new Headers(options.headers);
  if (token) headers.set("Authorization", `Bearer ${token}`);
  try {
    const answer = await fetch(path, {
      credentials: "omit", ...options, headers, cache: "no-store", signal: AbortSignal.timeout(DEADLINE_MS),
    });
    const isJson = /json/.test(answer.headers.get("Content-Type") ?? "");
    const body: unknown = isJson ? await answer.json() : null;
    return {
      outcome: answer.status === 304 ? { kind: "taken" } : judged(answer, body, isJson),
      body,
      etag: answer.headers.get("ETag"),
      notModified: answer.status === 304,
    };
  } catch {
    return { outcome: outcome(0, "", null), body: null, etag: null, notModified: false };
  }
}

function judged(answer: Response, body: unknown, isJson: boolean): Outcome {
  if (answer.ok && !isJson) return outcome(0, "something else than the shop computer answered", null);
  const detail = typeof body === "object" && body && "detail" in body ? String(body.detail) : "";
  return outcome(answer.status, detail, answer.headers.get("Retry-After"));
}

export const asJson = (value: unknown): RequestInit => ({
  method: "POST",
  headers: { "Content-Type": "application/json" },
  body: JSON.stringify(value),
});
