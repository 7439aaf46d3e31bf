// What is handed over: the record on paper, tables for a spreadsheet, a link for an inspector.
import "./handover.css";
import { useEffect, useState } from "preact/hooks";
import { get, whyNot } from "../ask";
import type { Overview, PartName } from "../build/page";
import { Record } from "./record";
import { Visits } from "./visits";

const TABLES = [
  { name: "entries", told: "every entry" },
  { name: "changes", told: "every change, with the old value" },
  { name: "plies", told: "plies asked against laid" },
] as const;

export function HandOver() {
  const [parts, setParts] = useState<PartName[] | null>(null);
  const [wrong, setWrong] = useState("");
  useEffect(() => {
    get<Overview>("/api/desk/pictures").then((came) => setParts(came.parts), (problem) => setWrong(whyNot(problem)));
  }, []);
  return (
    <div class="leaf">
      <h1>Hand over</h1>
      <p class="wrong" role="alert">{wrong}</p>
      {parts === null ? !wrong && <p role="status">Reading the print …</p> : (
        <>
          <Record parts={parts} />
          <Visits parts={parts} />
          <Tables />
        </>
      )}
    </div>
  );
}

function Tables() {
  return (
    <section class="slip">
      <h2>For a spreadsheet, and for another machine</h2>
      <ul class="files">
        {TABLES.map((table) => (
          <li key={table.name}><a href={`/api/desk/tables/${table.name}`} download={`${table.name}.csv`}>{table.name}.csv</a>, {table.told}</li>
        ))}
      </ul>
      <p>Everything, sounds and photos too: run <code>plytally export FOLDER</code> on the shop computer; <code>plytally import FOLDER</code> makes the same log from it elsewhere. Both show how far they are.</p>
    </section>
  );
}
