// What a correction teaches: a new name, another way of saying one, a pronunciation. Proposed where it was made,
// changed as one likes, taken with one key, heard again at once.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { ask, whyNot } from "../ask";
import { useKeys } from "../keys";
import type { Entry } from "./shapes";
import { entry, loadEntry, say, teach } from "./state";

const LISTS = ["materials", "resins", "orientations", "qualities", "items", "people", "categories", "actions"];
/** The list of pronunciations. */
const SOUNDS = "sounds";
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
  useLayoutEffect(() => { // what came late takes no key from what is being typed or pressed
    if (!proposed?.late) form.current?.querySelector<HTMLElement>("input, button")?.focus();
  }, []);
  useKeys("What is proposed", proposed?.late && !hearing ? [
    { key: "y", does: "teach it", act: () => form.current?.requestSubmit() },
    { key: "Escape", does: "leave it", act: () => { teach.value = null; } },
  ] : []);
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
  const sound = list === SOUNDS;
  return (
    <form ref={form} class="asksheet stacked" aria-label="A new word" onSubmit={(event) => void go(event)}
      onKeyDown={(event) => { if (event.key === "Escape") teach.value = null; }}>
      <h3>{titleOf(proposed)}</h3>
      <p class="small">{whyOf(proposed)}</p>
      {sound ? (
        <p>Said with these sounds of speech: <code>{said.toUpperCase()}</code></p>
      ) : (
        <>
          <label>In the list <select value={list} onChange={(event) => setList(event.currentTarget.value)}>{LISTS.map((each) => <option key={each}>{each}</option>)}</select></label>
          <label>Written <input value={name} required maxLength={60} onInput={(event) => setName(event.currentTarget.value)} /></label>
          <label>Said, several ways with commas between <input value={said} maxLength={300} onInput={(event) => setSaid(event.currentTarget.value)} /></label>
          {proposed.sounds.length > 0 && <p class="small">It will be listened for by its spelling where no dictionary has it: {proposed.sounds.map((each) => <code key={each}>{each} </code>)}. If you say it otherwise, write it as it sounds.</p>}
        </>
      )}
      <div class="row"><button type="submit">Teach it <kbd>{proposed.late ? "y" : "Enter"}</kbd></button><button type="button" onClick={() => { teach.value = null; }}>No <kbd>Esc</kbd></button></div>
    </form>
  );
}

type Proposed = NonNullable<typeof teach.value>;

function titleOf({ list, name, known }: Proposed): string {
  if (list === SOUNDS) return `Teach how you say “${name}”?`;
  if (known) return `Teach another way of saying “${name}”?`;
  return name ? `Teach “${name}”?` : "Teach a word, or another way of saying one";
}

function whyOf({ list, name, known, heard }: Proposed): string {
  const better = "this and later recordings are heard better, here and on the phones.";
  const instead = heard.length > 0 ? `“${heard.join("”, “")}” was heard there. ` : "";
  if (list === SOUNDS) return `${instead}The sound fits another pronunciation clearly better. With it, ${better}`;
  if (known) return `${instead}With it, ${better}`;
  return name ? `The vocabulary does not have it. ${instead}With it, ${better}` : `A name that is known gets further ways of being said. With it, ${better}`;
}

/** Which tries the shop computer made to hear an entry, as one text to be compared. */
const triesOf = (shown: Entry | null): string => shown?.heard.map((each) => each.place).join(" ") ?? "";
