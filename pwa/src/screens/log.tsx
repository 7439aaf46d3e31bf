// The phone's copy of the log: the newest first, what waits for an answer, what the print still asks for.
import "./log.css";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { fileOf } from "../keep/media";
import * as state from "../state";
import type { Line } from "../understand/messages";
import { answerNow, askOwed } from "../work/answering";
import { findOpened } from "../work/opening";
import { scratch } from "../work/queue";
import { ClockList } from "./clocks";

const MOST_TO_SETTLE = 20;

export function Log() {
  const board = state.board.value;
  if (!board) return <div class="pages"><section><p role="status">{noBoard()}</p></section></div>;
  const waiting = board.to_settle.slice(0, MOST_TO_SETTLE);
  const above = new Set(waiting.map((line) => line.id));
  const noted = board.entries.filter((line) => !above.has(line.id));
  const newest = board.entries.find((line) => line.withdrawn === null)?.id;
  return (
    <div class="pages">
      <AskedFor />
      <ClockList />
      {waiting.length > 0 && (
        <section>
          <h2>Waiting for an answer</h2>
          <p class="small">These do not count against the print until they are answered, here or at the desk.</p>
          <ul class="lines">{waiting.map((line) => <Entry key={line.id} line={line} waits newest={line.id === newest} />)}</ul>
        </section>
      )}
      <section>
        <h2>Noted</h2>
        {noted.length === 0 && <p>{waiting.length > 0 ? "Nothing besides what waits." : "Nothing is noted yet."}</p>}
        <ul class="lines">{noted.map((line) => <Entry key={line.id} line={line} newest={line.id === newest} />)}</ul>
        {board.count > board.entries.length && <p class="small">The newest {board.entries.length} of {board.count}. All of them are at the desk, page Find.</p>}
      </section>
      <section>
        <h2>Still owed</h2>
        {board.aircraft
          ? <p class="small">{board.aircraft}, print revision {board.revision}</p>
          : <p>No print is on this phone yet. It comes from the shop computer with the first sync.</p>}
        <ul class="lines owed">{board.owed.map((line) => <Owed key={line} line={line} />)}</ul>
      </section>
    </div>
  );
}

/** What a part is owed in all; a touch asks for it ply by ply. */
function Owed({ line }: { line: string }) {
  const [, place, plies] = /^(.+): (\d+ pl\S+) owed\.$/.exec(line) ?? [];
  if (!place) return <li>{line}</li>;
  return <li><button onClick={() => void askOwed(place)}><span>{place}</span> <span>{plies}</span></button></li>;
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
  return power.kind === "off" ? `This phone cannot show its log: ${power.why}. Everything is kept.` : "Getting the log ready: a few seconds, the first time up to a minute. Recording works meanwhile.";
}

function Entry({ line, waits = false, newest = false }: { line: Line; waits?: boolean; newest?: boolean }) {
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
      {line.said && !line.line.endsWith(line.said) && <p class="small">“{line.said}”</p>}
      {line.doubts.map((doubt) => <p class="open" key={doubt.field}>{doubt.field === "text" ? `Not understood: ${doubt.why}.` : doubt.question}</p>)}
      {line.conflicts.map((field) => <p class="open" key={field}>two values stand for {field}: the desk chooses</p>)}
      <p class="small">{state.whenTold(line.wall)}{line.withdrawn === null ? "" : ", scratched"}</p>
      {waits && line.doubts.length > 0 && state.mindPower.value.kind === "on" && (
        <button class="do" onClick={() => answerNow(line)}>{line.doubts.some(({ field }) => field === "text") ? "Tell it by touch" : "Answer it"}<span class="unseen">: {line.line || "a sound, not understood"}</span></button>
      )}
      {newest && <Scratch line={line} />}
      <Attached entry={line.id} />
    </li>
  );
}

/** The last entry is scratched by two touches, where a voice cannot say it. */
function Scratch({ line }: { line: Line }) {
  const [sure, setSure] = useState(false);
  if (state.mindPower.value.kind !== "on") return null;
  return <button class="do" onClick={() => (sure ? void scratch(line.id) : setSure(true))}>{sure ? "Yes, scratch it" : "Scratch it"}</button>;
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
