// What is handed over: the record on paper, tables for a spreadsheet, a link for an inspector.
import "./handover.css";
import { useEffect, useState } from "preact/hooks";
import { get, whyNot } from "../ask";
import type { Overview, PartName } from "../build/page";
import { Everything, TakeIn } from "./carry";
import { Record } from "./record";
import { Visits } from "./visits";

const TABLES = [
  { name: "entries", told: "every entry" },
  { name: "changes", told: "every change, with the old value" },
  { name: "plies", told: "plies asked against laid" },
] as const;

export function HandOver() {
  const [parts, setParts] = useState<PartName[] | null>(null);
  const [empty, setEmpty] = useState(false);
  const [wrong, setWrong] = useState("");
  useEffect(() => {
    get<Overview>("/api/desk/pictures").then((came) => setParts(came.parts), (problem) => setWrong(whyNot(problem)));
    get<{ days: unknown[] }>("/api/desk/days").then((came) => setEmpty(came.days.length === 0), () => undefined);
  }, []);
  return (
    <div class="leaf">
      <h1>Hand over</h1>
      <p class="wrong" role="alert">{wrong}</p>
      {parts === null ? !wrong && <p role="status">Reading the print …</p> : (
        <>
          {empty && <TakeIn />}
          <Record parts={parts} />
          <Visits parts={parts} />
          <Tables />
          <Everything />
        </>
      )}
    </div>
  );
}

function Tables() {
  return (
    <section class="slip">
      <h2>For a spreadsheet</h2>
      <ul class="files">
        {TABLES.map((table) => (
          <li key={table.name}><a href={`/api/desk/tables/${table.name}`} download={`${table.name}.csv`}>{table.name}.csv</a>, {table.told}</li>
        ))}
      </ul>
      <p class="small">Amounts stand in the units in which they were said, whatever the habits of this desk.</p>
    </section>
  );
}
