// Everything in one file: out, to be kept or carried to another machine; and in, where nothing is noted yet.
import { useEffect, useState } from "preact/hooks";
import { Refused, ask, asSentence, changing, get, whyNot } from "../ask";
import { go } from "../way";

interface Job {
  id: string;
  state: "coming" | "working" | "ready" | "failed";
  doing: string;
  done: number;
  total: number;
  size: number;
  told: string;
  why: string;
}

const LOOK_EVERY_MS = 500;
const PIECE = 4 * 1024 * 1024;
const LONGEST_WAIT_MS = 60_000;

/** Look how far a job is until it is done. */
function useJob(way: "exports" | "imports"): [Job | null, (job: Job | null) => void, string, (why: string) => void] {
  const [job, setJob] = useState<Job | null>(null);
  const [wrong, setWrong] = useState("");
  useEffect(() => {
    if (job?.state !== "working") return undefined;
    const soon = setTimeout(() => {
      get<Job>(`/api/desk/${way}/${job.id}`).then(setJob, (problem) => { setJob(null); setWrong(whyNot(problem)); });
    }, LOOK_EVERY_MS);
    return () => clearTimeout(soon);
  }, [job]);
  return [job, setJob, wrong, setWrong];
}

export function Everything() {
  const [job, setJob, wrong, setWrong] = useJob("exports");
  const make = (): void => {
    setWrong("");
    ask<Job>("POST", "/api/desk/exports").then(setJob, (problem) => setWrong(whyNot(problem)));
  };
  return (
    <section class="slip">
      <h2>Everything in one file</h2>
      <p>Every line of the log as it is, all sounds and photos <b>with</b> the place they were taken at, the print, your words and stock list, and the tables: to be kept, or to go on with on another machine. It reads the log as it stands.</p>
      <button onClick={make} disabled={job?.state === "working"}>Make the file</button>
      {job && <Far job={job} id="export-progress" />}
      {job?.state === "ready" && (
        <p class="ready" role="status">{asSentence(job.told)} <a href={`/api/desk/exports/${job.id}/zip`} download="plytally-everything.zip">Save the file, {sizeTold(job.size)}</a></p>
      )}
      <p class="wrong" role="alert">{wrong || (job?.state === "failed" ? asSentence(job.why) : "")}</p>
      <p class="small">On the command line: <code>plytally export FOLDER</code>; <code>plytally import</code> takes the folder or this file.</p>
    </section>
  );
}

export function TakeIn() {
  const [job, setJob, wrong, setWrong] = useJob("imports");
  const take = async (file: File | undefined): Promise<void> => {
    if (!file) return;
    setWrong("");
    try {
      const begun = await ask<Job>("POST", "/api/desk/imports", { size: file.size });
      setJob(begun);
      await send(file, begun, setJob);
      setJob(await ask<Job>("POST", `/api/desk/imports/${begun.id}`));
    } catch (problem) {
      setJob(null);
      setWrong(whyNot(problem));
    }
  };
  const busy = job?.state === "coming" || job?.state === "working";
  return (
    <section class="slip">
      <h2>Take in what another machine wrote</h2>
      <p>The file becomes the log of this shop, the same to the last byte, with its print, words and stock list. Each line, sound and photo is looked at first; if anything is wrong you are told where, and nothing is taken. Only a shop in which nothing is noted yet takes one in.</p>
      <p class="picker">
        <label class="button" aria-disabled={busy}>Choose the file
          <input type="file" accept=".zip,application/zip" disabled={busy} onChange={(event) => { void take(event.currentTarget.files?.[0]); event.currentTarget.value = ""; }} />
        </label>
      </p>
      {job && <Far job={job} id="import-progress" />}
      {job?.state === "ready" && (
        <p class="ready" role="status">Taken in: {asSentence(job.told)} <button onClick={() => go("day")}>Look at its days</button></p>
      )}
      <p class="wrong" role="alert">{wrong || (job?.state === "failed" ? `${asSentence(job.why)} Nothing was taken in.` : "")}</p>
    </section>
  );
}

/** A bar with what is done now beside it. */
function Far({ job, id }: { job: Job; id: string }) {
  if (job.state !== "working" && job.state !== "coming") return null;
  const many = job.state === "coming" ? `${sizeTold(job.done)} of ${sizeTold(job.total)}` : job.total > 0 ? `${Math.floor((100 * job.done) / job.total)} %` : "";
  return (
    <div class="progress">
      <label for={id}>{asSentence(job.doing).slice(0, -1)} {many}</label>
      {job.total > 0 ? <progress id={id} value={job.done} max={job.total} /> : <progress id={id} />}
    </div>
  );
}

/** Send a file in pieces; each is asked again for a while where the way is broken, then given up. */
async function send(file: File, job: Job, told: (job: Job) => void): Promise<void> {
  let now = job;
  while (now.done < file.size) {
    now = await patient(async () => {
      const answer = await fetch(`/api/desk/imports/${job.id}`, {
        method: "PATCH", credentials: "same-origin", cache: "no-store", body: file.slice(now.done, now.done + PIECE),
        headers: { ...changing(), "Content-Type": "application/offset+octet-stream", "Upload-Offset": String(now.done) },
      });
      if (answer.ok) return (await answer.json()) as Job;
      if (answer.status === 429) throw new TypeError("later");
      const why = ((await answer.json()) as { detail?: string }).detail ?? `the shop computer answered ${answer.status}`;
      throw new Refused("refused", asSentence(why));
    }, () => get<Job>(`/api/desk/imports/${job.id}`));
    told(now);
  }
}

/** Try a piece; where no answer came, see how far the other side is and go on from there. */
async function patient(work: () => Promise<Job>, look: () => Promise<Job>): Promise<Job> {
  const end = Date.now() + LONGEST_WAIT_MS;
  for (let first = true; ; first = false) {
    try {
      return first ? await work() : await look();
    } catch (problem) {
      if ((problem instanceof Refused && problem.kind !== "") || Date.now() > end) throw problem;
      await new Promise((again) => setTimeout(again, 1000));
    }
  }
}

function sizeTold(bytes: number): string {
  const names = ["bytes", "kB", "MB", "GB", "TB"];
  const step = bytes < 1000 ? 0 : Math.min(names.length - 1, Math.floor(Math.log10(bytes) / 3));
  return `${step ? (bytes / 1000 ** step).toFixed(1) : bytes} ${names[step]}`;
}
