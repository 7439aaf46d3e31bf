// Another clock, in the words that one would say; what it would be is shown before it is kept.
import { useState } from "preact/hooks";
import { whyNot } from "../ask";
import { meaning, start } from "./ask";

export function Start({ started }: { started(lines: string[]): void }) {
  const [words, setWords] = useState("");
  const [would, setWould] = useState<string[]>([]);
  const [wrong, setWrong] = useState("");
  const look = async (text: string): Promise<void> => {
    setWords(text);
    setWrong("");
    if (!text.trim()) return setWould([]);
    try {
      const told = await meaning(text);
      setWould(told.makes === "entry" ? [...told.questions, told.line] : ["This is no entry: say which clock, and how long or until when."]);
    } catch (problem) {
      setWrong(whyNot(problem));
    }
  };
  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    try {
      started(await start(words));
      setWords("");
      setWould([]);
    } catch (problem) {
      setWrong(whyNot(problem));
    }
  };
  return (
    <section class="slip">
      <h2>Start a clock</h2>
      <form class="stacked" onSubmit={(event) => void go(event)}>
        <label>In words, such as “bag off at nine tonight on the right elevator spar”, “cure timer twelve hours”
          <input id="start-clock" type="text" required value={words} onChange={(event) => void look(event.currentTarget.value)} onInput={(event) => setWords(event.currentTarget.value)} />
        </label>
        {would.map((line) => <p key={line} class="small">{line}</p>)}
        <button type="submit">Start it</button>
      </form>
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}
