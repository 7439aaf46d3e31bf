// A word that a correction brought and the vocabulary lacks: proposed, changed as one likes, taught, heard again.
import { useEffect, useRef, useState } from "preact/hooks";
import { ask, whyNot } from "../ask";
import type { Entry } from "./shapes";
import { entry, loadEntry, say, teach } from "./state";

const LISTS = ["materials", "resins", "orientations", "qualities", "items", "people", "categories", "actions"];
const LOOK_EVERY_MS = 1500;
const MOST_LOOKS = 40;

export function Teach() {
  const proposed = teach.value;
  return proposed ? <Proposal key={`${proposed.entry} ${proposed.name}`} /> : null;
}

function Proposal() {
  const proposed = teach.value;
  const [list, setList] = useState(proposed?.list || "materials");
  const [name, setName] = useState(proposed?.name ?? "");
  const [said, setSaid] = useState(proposed?.said_as ?? "");
  const [hearing, setHearing] = useState(0);
  const [before, setBefore] = useState("");
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => form.current?.querySelector("input")?.focus(), []);
  useEffect(() => {
    if (!hearing) return undefined;
    const timer = setTimeout(() => void look(), LOOK_EVERY_MS);
    return () => clearTimeout(timer);
  }, [hearing]);
  if (!proposed) return null;
  const look = async (): Promise<void> => {
    await loadEntry(proposed.entry);
    if (triesOf(entry.value) !== before) {
      say(`Heard again with “${name}”. Phones get the word with their next sync.`);
      teach.value = null;
    } else if (hearing >= MOST_LOOKS) {
      say(`“${name}” is in the vocabulary. The recording is still waiting to be heard again.`);
      teach.value = null;
    } else setHearing(hearing + 1);
  };
  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBefore(triesOf(entry.value));
    try {
      const ways = said.split(",").map((way) => way.trim()).filter(Boolean);
      const done = await ask<{ heard_again: boolean }>("POST", "/api/desk/words", { list, name, said_as: ways, entry: proposed.entry });
      if (done.heard_again) setHearing(1);
      else {
        say(`“${name}” is in the vocabulary. Phones get it with their next sync.`);
        teach.value = null;
      }
    } catch (problem) {
      say(whyNot(problem), true);
    }
  };
  if (hearing) return <div class="asksheet" role="status"><p>Hearing the recording again with “{name}” …</p><progress aria-label="hearing again" /></div>;
  return (
    <form ref={form} class="asksheet stacked" aria-label="A new word" onSubmit={(event) => void go(event)}
      onKeyDown={(event) => { if (event.key === "Escape") teach.value = null; }}>
      <h3>{proposed.name ? `Teach “${proposed.name}”?` : "Teach a word, or another way of saying one"}</h3>
      <p class="small">{proposed.name ? "The vocabulary does not have it. With it" : "A name that is known gets further ways of being said. With it"}, this and later recordings are heard better, here and on the phones.</p>
      <label>In the list <select value={list} onChange={(event) => setList(event.currentTarget.value)}>{LISTS.map((each) => <option key={each}>{each}</option>)}</select></label>
      <label>Written <input value={name} required maxLength={60} onInput={(event) => setName(event.currentTarget.value)} /></label>
      <label>Said, several ways with commas between <input value={said} maxLength={300} onInput={(event) => setSaid(event.currentTarget.value)} /></label>
      <div class="row"><button type="submit">Teach it</button><button type="button" onClick={() => { teach.value = null; }}>No <kbd>Esc</kbd></button></div>
    </form>
  );
}

/** Which tries the shop computer made to hear an entry, as one text to be compared. */
const triesOf = (shown: Entry | null): string => shown?.heard.map((each) => each.place).join(" ") ?? "";
