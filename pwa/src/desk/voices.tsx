// The voices that were learnt, from reading aloud and from notes: how each does, on or off, forgotten, and how hard names may be taught.
import { useEffect, useState } from "preact/hooks";
import { ask, get, whyNot } from "./ask";

interface Way {
  word: string;
  phones: string;
  teach: { list: string; name: string; said_as: string[]; entry: string };
}

interface Voice {
  device: string;
  name: string;
  state: "none" | "learning" | "helps" | "does not help" | "off";
  on: boolean;
  problem: string;
  sentences: { read: boolean }[];
  right: [number, number] | null;
  of: number | null;
  unasked: { on: boolean; notes: number; of: number };
  names: { part: string; right: boolean; read: string; heard: string; ways: Way[] }[];
}

const STANDS: Record<Voice["state"], string> = {
  none: "not learnt yet",
  learning: "being learnt",
  helps: "learnt; its notes are heard by it",
  "does not help": "learnt, makes nothing better, and is not used",
  off: "learnt, and switched off",
};

export function Voices({ failed }: { failed(why: string): void }) {
  const [voices, setVoices] = useState<Voice[]>([]);
  const look = (): void => void get<{ voices: Voice[] }>("/api/desk/voices").then((told) => setVoices(told.voices), (problem) => failed(whyNot(problem)));
  useEffect(look, []);
  const act = (method: "PATCH" | "DELETE" | "POST", path: string, body?: unknown): void => {
    failed("");
    ask(method, path, body).then(look, (problem) => failed(whyNot(problem)));
  };
  return (
    <section class="slip">
      <h2>Voices</h2>
      {voices.length === 0 && <p>No voice was learnt yet. On a phone, open Shop and read aloud under “Your voice”: it takes two minutes, and the notes of that phone are heard better after it. Without it a voice is learnt by itself from the first notes in which nothing was in doubt.</p>}
      <ul class="phones">{voices.map((voice) => <One key={voice.device} voice={voice} act={act} />)}</ul>
    </section>
  );
}

function One({ voice, act }: { voice: Voice; act(method: "PATCH" | "DELETE" | "POST", path: string, body?: unknown): void }) {
  const [sure, setSure] = useState(false);
  const path = `/api/desk/voices/${voice.device}`;
  const read = voice.sentences.filter((each) => each.read).length;
  const hard = voice.names.filter(({ right }) => !right);
  return (
    <li>
      <p><b>{voice.name}</b>: {STANDS[voice.state]}. {read} of {voice.sentences.length} sentences read.</p>
      {voice.right && voice.of && <p class="small">Of {voice.of} notes held back, {voice.right[0]} are heard word for word without it and {voice.right[1]} with it.</p>}
      <p class="small">{voice.unasked.on ? `Learns by itself from ${voice.unasked.of} notes in which nothing was in doubt; ${Math.min(voice.unasked.notes, voice.unasked.of)} are there.` : "Learns nothing from notes by itself."}</p>
      {voice.problem && <p>The last time it could not be learnt: {voice.problem}.</p>}
      {voice.state !== "learning" && <button onClick={() => act("PATCH", path, { on: !voice.on })}>{voice.on ? "Switch off" : "Switch on"}</button>}{" "}
      {read > 0 && voice.state !== "learning" && <button onClick={() => act("POST", `${path}/learn`, {})}>Learn anew</button>}{" "}
      <button onClick={() => (sure ? act("DELETE", path) : setSure(true))}>{sure ? "Yes, forget it" : "Forget"}</button>
      {hard.length > 0 && <h3>Hard to hear</h3>}
      <ul>
        {hard.map(({ part, heard, ways }) => (
          <li key={part}>
            <b>{part}</b> was heard as “{heard || "nothing"}”.{" "}
            {ways.map(({ word, phones, teach }) => (
              <button key={word + phones} onClick={() => act("POST", "/api/desk/words", teach)}>
                “{word}” is said <code>{phones}</code>: teach it
              </button>
            ))}
          </li>
        ))}
      </ul>
    </li>
  );
}
