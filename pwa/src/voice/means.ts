// A learnt voice as the engine hears by it: a file of the shop computer's, kept beside the model.
import { fact } from "../keep/db";
import { DEADLINE_MS } from "../sync/ask";

export interface Means {
  etag: string;
  bytes: ArrayBuffer;
}

export const keptMeans = async (): Promise<Means | undefined> => (await fact<Means | null>("means")) ?? undefined;

/** The voice's means as they are now; what is here already is not fetched again. Undefined where nothing answers. */
export async function fetchMeans(before: Means | undefined): Promise<Means | null | undefined> {
  const token = await fact<string>("token");
  const headers = new Headers({ Authorization: `Bearer ${token ?? ""}` });
  if (before) headers.set("If-None-Match", before.etag);
  try {
    const answer = await fetch("/api/voice/means", {
      headers, credentials: "omit", cache: "no-store", signal: AbortSignal.timeout(DEADLINE_MS),
    });
    if (answer.status === 304) return before;
    if (answer.status === 404) return null;
    const etag = answer.headers.get("ETag");
    return answer.ok && etag ? { etag, bytes: await answer.arrayBuffer() } : undefined;
  } catch {
    return undefined;
  }
}
