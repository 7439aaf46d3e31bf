// The phone's copy of the log: the newest first, what waits for an answer, what the print still asks for.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { fileOf } from "../keep/media";
import * as state from "../state";
import type { Line } from "../understand/messages";
import { findOpened } from "../work/opening";
import { ClockList } from "./clocks";

const MOST_TO_SETTLE = 20;
const day = (wall: string): string => `${wall.slice(0, 10)} ${wall.slice(11, 16)}`;

export function Log() {
  const board = state.board.value;
  if (!board) return <div class="pages"><p>{noBoard()}</p></div>;
  return (
    <div class="pages">
      <AskedFor />
      <ClockList />
      {board.to_settle.length > 0 && (
        <section>
          <h2>Waiting for an answer</h2>
          <ul class="lines">{board.to_settle.slice(0, MOST_TO_SETTLE).map((line) => <Entry key={line.id} line={line} />)}</ul>
        </section>
      )}
      <section>
        <h2>Noted</h2>
        {board.entries.length === 0 && <p>Nothing is noted yet.</p>}
        <ul class="lines">{board.entries.map((line) => <Entry key={line.id} line={line} />)}</ul>
      </section>
      <section>
        <h2>Still owed</h2>
        {board.aircraft
          ? <p class="small">{board.aircraft}, print revision {board.revision}</p>
          : <p>No print is on this phone yet. It comes from the shop computer with the first sync.</p>}
        <ul class="lines">{board.owed.map((line) => <li key={line}>{line}</li>)}</ul>
      </section>
    </div>
  );
}

/** The entry that a notification asked for, where it is not among those below. */
function AskedFor() {
  const board = state.board.value;
  const asked = state.opened.value;
  const [found, setFound] = useState<Line | null | undefined>(undefined);
  const below = useMemo(() => [...(board?.to_settle.slice(0, MOST_TO_SETTLE) ?? []), ...(board?.entries ?? [])], [board]);
  useEffect(() => {
    let here = true;
    setFound(undefined);
    void findOpened(below).then((line) => here && setFound(line));
    return () => {
      here = false;
    };
  }, [asked, below]);
  if (found === undefined) return null;
  return (
    <section>
      <h2>Asked for</h2>
      {found ? <ul class="lines"><Entry line={found} /></ul> : <p class="open" role="status">This entry is not on this phone yet. It comes with the next sync.</p>}
    </section>
  );
}

function noBoard(): string {
  const power = state.mindPower.value;
  return power.kind === "off" ? `This phone cannot show its log: ${power.why}. Everything is kept.` : "Reading the log …";
}

function Entry({ line }: { line: Line }) {
  const shown = state.opened.value === line.id;
  const here = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (!shown) return;
    here.current?.scrollIntoView({ block: "center" });
    here.current?.focus();
  }, [shown]);
  return (
    <li ref={here} tabIndex={shown ? -1 : undefined} class={[line.withdrawn === null ? "" : "scratched", shown ? "shown" : ""].join(" ").trim()}>
      <p>{line.line || "a sound, not understood"}</p>
      {line.said && <p class="small">“{line.said}”</p>}
      {line.doubts.map((doubt) => <p class="open" key={doubt.field}>{doubt.field === "text" ? `Not understood: ${doubt.why}.` : doubt.question}</p>)}
      {line.conflicts.map((field) => <p class="open" key={field}>two values stand for {field}: the desk chooses</p>)}
      <p class="small">{day(line.wall)}{line.withdrawn === null ? "" : ", scratched"}</p>
      <Attached entry={line.id} />
    </li>
  );
}

function Attached({ entry }: { entry: string }) {
  const mine = state.stored.value.filter((medium) => medium.entry === entry);
  const [sound, setSound] = useState("");
  useEffect(() => () => URL.revokeObjectURL(sound), [sound]);
  const recording = mine.find((medium) => medium.role === "sound" && !medium.thinned);
  const photos = mine.filter((medium) => medium.small);
  return (
    <div class="attached">
      {photos.map((medium) => <Small key={medium.id} bytes={medium.small} />)}
      {recording && !sound && (
        <button onClick={() => void fileOf(recording).then((file) => setSound(URL.createObjectURL(file)))}>Hear it</button>
      )}
      {sound && <audio controls autoplay src={sound} />}
    </div>
  );
}

function Small({ bytes }: { bytes: ArrayBuffer | undefined }) {
  const [url, setUrl] = useState("");
  useEffect(() => {
    if (!bytes) return undefined;
    const made = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [bytes]);
  return url ? <img src={url} alt="photo of this entry" /> : null;
}
