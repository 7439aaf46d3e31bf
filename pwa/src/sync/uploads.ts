// Sounds and photos to the shop computer by the open tus protocol: resumed where they were cut, given up for now
// when nothing moves any more, and marked as there only when the server has compared the hash of the whole.
import { DetailedError, Upload } from "tus-js-client";
import { type Medium, keep } from "../keep/db";
import { fileOf, media } from "../keep/media";
import { DEADLINE_MS } from "./ask";
import { type Outcome, outcome } from "./outcome";

const CHUNK = 1024 * 1024;
/** Whatever the shop computer says: room that is made there is to be noticed. */
const LONGEST_WAIT_MS = 600_000;
const TOO_LARGE = 413;

/** Send what is not there yet, the oldest first; stops at the first that cannot go now, passes over what never can. */
export async function sendMedia(token: string, told: (left: number) => void): Promise<Outcome> {
  const waiting = (await media()).filter((medium) => medium.stage === "noted" && medium.there === 0 && medium.sha256);
  waiting.sort((one, other) => one.startedMillis - other.startedMillis);
  let refused: Outcome | undefined;
  for (const [at, medium] of waiting.entries()) {
    told(waiting.length - at);
    const done = await sendOne(medium, token);
    if (done.kind === "refused") refused = { kind: "later", why: done.why, waitMs: LONGEST_WAIT_MS };
    if (done.kind === "refused") continue; // it stays here, and must not hold up the others
    if (done.kind !== "taken") return done;
    await keep(["media"], async (tx) => {
      const now = await tx.objectStore("media").get(medium.id);
      if (now) await tx.objectStore("media").put({ ...now, there: 1 });
    });
  }
  told(0);
  return refused ?? { kind: "taken" };
}

async function sendOne(medium: Medium, token: string): Promise<Outcome> {
  const file = await fileOf(medium);
  return new Promise((settle) => {
    let watch: ReturnType<typeof setTimeout> | undefined;
    const done = (outcome: Outcome): void => {
      clearTimeout(watch);
      settle(outcome);
    };
    const moves = (): void => {
      clearTimeout(watch);
      watch = setTimeout(() => {
        void upload.abort().catch(() => undefined);
        done(failed(null));
      }, DEADLINE_MS);
    };
    const upload = new Upload(file, {
      endpoint: "/api/uploads",
      chunkSize: CHUNK,
      retryDelays: [0, 1000],
      metadata: { sha256: medium.sha256 ?? "" },
      headers: { Authorization: `Bearer ${token}` },
      fingerprint: async () => `plytally-${medium.sha256}`,
      removeFingerprintOnSuccess: true,
      onProgress: moves,
      onChunkComplete: moves,
      onSuccess: () => done({ kind: "taken" }),
      onError: (problem) => done(failed(problem)),
    });
    moves();
    upload
      .findPreviousUploads()
      .then(([earlier]) => {
        if (earlier) upload.resumeFromPreviousUpload(earlier);
        upload.start();
      })
      .catch((problem: unknown) => done(failed(problem)));
  });
}

/** What a failure means; the shop computer's own sentence, where it said what to do. */
function failed(problem: unknown): Outcome {
  const answer = problem instanceof DetailedError ? problem.originalResponse : null;
  const status = answer?.getStatus() ?? 0;
  const found = outcome(status, said(answer?.getBody() ?? ""), answer?.getHeader("Retry-After") ?? null);
  if (found.kind === "pair again" || status === TOO_LARGE) return found;
  const why = status === 507 && found.kind === "later" ? found.why : "a sound or photo did not arrive; it is tried again";
  return { kind: "later", why, waitMs: Math.min(LONGEST_WAIT_MS, Math.max(15_000, found.kind === "later" ? found.waitMs : 0)) };
}

function said(body: string): string {
  try {
    return String((JSON.parse(body) as { detail?: unknown }).detail ?? "");
  } catch {
    return "";
  }
}
