// What was taught, with what came of it; each can be taken back with one key, and taught again with the same one.
import "./taught.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { ask, get, whyNot } from "./ask";
import { whenTold } from "./dates";
import { useKeys } from "./keys";
import { to } from "./way";

interface Word {
  list: string;
  name: string;
  said_as: string[];
  /** The id of the note that tells of it, "" where it is older than that. */
  note: string;
  author: string;
  wall: string;
  stands: boolean;
  clashes: boolean;
  ended: { author: string; wall: string } | null;
  entry: { id: string; day: string; line: string } | null;
  heard: string;
  now: string;
  names: number;
}

const SOUNDS = "sounds";
const LOOK_EVERY_MS = 1500;
const MOST_LOOKS = 40;
const keyOf = (word: Word): string => word.note || `${word.list} ${word.name}`;

export function Taught() {
  const [words, setWords] = useState<Word[]>([]);
  const [chosen, setChosen] = useState("");
  const [said, setSaid] = useState({ text: "", wrong: false });
  const [looks, setLooks] = useState(0);
  const here = useRef<HTMLUListElement>(null);
  const look = async (): Promise<void> => {
    try {
      setWords((await get<{ taught: Word[] }>("/api/desk/words/taught")).taught);
    } catch (problem) {
      setSaid({ text: whyNot(problem), wrong: true });
    }
  };
  useEffect(() => void look(), []);
  useEffect(() => {
    if (looks === 0) return undefined;
    const timer = setTimeout(() => void look().then(() => setLooks(looks - 1)), LOOK_EVERY_MS);
    return () => clearTimeout(timer);
  }, [looks]);
  const at = Math.max(0, words.findIndex((word) => keyOf(word) === chosen));
  const move = (by: number): void => {
    const next = words[Math.min(Math.max(at + by, 0), words.length - 1)];
    if (!next) return;
    setChosen(keyOf(next));
    here.current?.querySelectorAll<HTMLElement>(".taught button")[words.indexOf(next)]?.focus();
  };
  const turn = async (word: Word | undefined): Promise<void> => {
    if (!word) return setSaid({ text: "Nothing was taught yet.", wrong: false });
    try {
      const done = await ask<{ heard_again: boolean }>("PATCH", "/api/desk/words/taught", { list: word.list, name: word.name, note: word.note, stands: !word.stands });
      const what = word.stands ? `“${word.name}” is taken back.` : `“${word.name}” is taught again.`;
      setSaid({ text: `${what} ${done.heard_again ? "Its recording is heard again; phones" : "Phones"} get that with their next sync.`, wrong: false });
      if (done.heard_again) setLooks(MOST_LOOKS);
    } catch (problem) {
      setSaid({ text: whyNot(problem), wrong: true });
    }
    await look();
  };
  useKeys("What was taught", words.length === 0 ? [] : [
    { key: "ArrowDown", does: "next word", act: () => move(1) },
    { key: "ArrowUp", does: "word before", act: () => move(-1) },
    { key: "x", does: "take it back, or teach it again", act: () => void turn(words[at]) },
  ]);
  return (
    <section class="slip">
      <h2>What was taught</h2>
      <p>Words and pronunciations that this shop listens for beside the trade's and the print's. Taking one back changes no entry: only what is heard from then on, here and on the phones.</p>
      <p class={said.wrong ? "wrong" : ""} role="status">{said.text}</p>
      {words.length === 0 && <p>Nothing was taught yet. The desk proposes a word after a correction; <kbd>e</kbd> on an entry teaches any.</p>}
      <ul class="taughtlist" ref={here}>
        {words.map((word, number) => <One key={keyOf(word)} word={word} chosen={number === at} choose={() => setChosen(keyOf(word))} turn={() => void turn(word)} />)}
      </ul>
    </section>
  );
}

function One({ word, chosen, choose, turn }: { word: Word; chosen: boolean; choose(): void; turn(): void }) {
  const does = word.stands ? "Take it back" : "Teach it again";
  return (
    <li class={["taught", chosen && "chosen", !word.stands && "untaught"].filter(Boolean).join(" ")} aria-current={chosen ? "true" : undefined} onFocusIn={choose}>
      <p><b class="ways">{waysTold(word)}</b></p>
      <p class="small">{byTold(word)}</p>
      {word.entry && <p class="small">Learnt from <a href={to("day", word.entry.day, word.entry.id)}>{word.entry.line}</a>.{cameOf(word)}</p>}
      {word.names > 0 && <p class="small">{word.names === 1 ? "One entry names it" : `${word.names} entries name it`}; {word.names === 1 ? "it stays" : "they stay"} as noted.</p>}
      {word.clashes && <p class="wrong">It is not listened for: the print, or a later word, is said the same way.</p>}
      <button onClick={turn}>{does}<span class="hush">: {waysTold(word)}</span> {chosen && <kbd>x</kbd>}</button>
    </li>
  );
}

const waysTold = ({ list, name, said_as }: Word): string =>
  list === SOUNDS ? `“${name}”, pronounced ${said_as.join(" or ").toUpperCase()}` : `${name} (${list}), said ${said_as.map((way) => `“${way}”`).join(" or ")}`;

function byTold({ author, wall, ended, stands }: Word): string {
  const taught = wall ? `Taught by ${author}, ${whenTold(wall)}.` : "Taught before the log told of that.";
  return stands || !ended ? taught : `${taught} Taken back by ${ended.author}, ${whenTold(ended.wall)}.`;
}

/** What the recording was heard as before, and is heard as with it, or without it again. */
function cameOf({ heard, now, stands }: Word): string {
  if (!heard || !now) return "";
  if (heard === now) return ` Its recording is heard ${stands ? "with it" : "without it"} as before: “${now}”.`;
  return ` Its recording was heard as “${heard}”, and last as “${now}”.`;
}
