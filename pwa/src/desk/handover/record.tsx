// The build record as a PDF: of what, then how far it is, then the file.
import { useEffect, useState } from "preact/hooks";
import { ask, get, whyNot } from "../ask";
import type { PartName } from "../build/page";
import { DayField } from "../day_field";
import { Parts, named } from "./parts";

interface Job {
  id: string;
  told: string;
  state: "waiting" | "making" | "ready" | "failed";
  done: number;
  pages: number;
}

const LOOK_EVERY_MS = 500;

export function Record({ parts }: { parts: readonly PartName[] }) {
  const [chosen, choose] = useState<PartName[]>([]);
  const [first, setFirst] = useState("");
  const [last, setLast] = useState("");
  const [paper, setPaper] = useState("a4");
  const [job, setJob] = useState<Job | null>(null);
  const [wrong, setWrong] = useState("");
  const busy = job?.state === "waiting" || job?.state === "making";
  useEffect(() => {
    if (!job || !busy) return undefined;
    const soon = setTimeout(() => {
      get<Job>(`/api/desk/records/${job.id}`).then(setJob, (problem) => { setJob(null); setWrong(whyNot(problem)); });
    }, LOOK_EVERY_MS);
    return () => clearTimeout(soon);
  }, [job]);
  const make = (event: Event): void => {
    event.preventDefault();
    setWrong("");
    ask<Job>("POST", "/api/desk/records", { parts: named(chosen), first, last, paper }).then(setJob, (problem) => setWrong(whyNot(problem)));
  };
  return (
    <section class="slip">
      <h2>The record on paper</h2>
      <p>Plies asked and laid with their diagrams, every entry with its photos, measured values, hours, changes with the old values, open doubts, and lines to sign. It is no approval.</p>
      <form class="stacked" onSubmit={make}>
        {parts.length > 0 && (
          <details>
            <summary>{chosen.length === 0 ? "Of all parts" : `Of ${chosen.map((part) => part.told).join(", ")}`}</summary>
            <Parts parts={parts} chosen={chosen} choose={choose} legend="Only these parts; none ticked: all" />
          </details>
        )}
        <div class="beside-each-other">
          <DayField label="From" value={first} set={setFirst} />
          <DayField label="To" value={last} set={setLast} />
          <label>Paper
            <select value={paper} onChange={(event) => setPaper(event.currentTarget.value)}>
              <option value="a4">A4</option>
              <option value="letter">Letter</option>
            </select>
          </label>
        </div>
        <button type="submit" disabled={busy}>Make the record</button>
      </form>
      {job && <Progress job={job} />}
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}

function Progress({ job }: { job: Job }) {
  if (job.state === "failed") return <p class="wrong" role="alert">The record of {job.told} could not be made. The log is safe; look at what the server says in its terminal.</p>;
  if (job.state === "ready") {
    return (
      <p class="ready" role="status">
        {job.pages} pages, {job.told}: <a href={`/api/desk/records/${job.id}/pdf`} download="build-record.pdf">save the PDF</a>
      </p>
    );
  }
  const told = job.pages > 0 ? `page ${job.done} of ${job.pages}` : job.state === "waiting" ? "waiting for another record" : "counting pages";
  return (
    <div class="progress">
      <label for="record-progress">The record of {job.told}: {told}</label>
      {job.pages > 0 ? <progress id="record-progress" value={job.done} max={job.pages} /> : <progress id="record-progress" />}
    </div>
  );
}
