// A doubt about the entry just spoken: two large answers, or the desk. The voice may answer it too.
import * as state from "../state";
import type { Doubt, Line } from "../understand/messages";
import { scratch, settle } from "../work/queue";

interface Choice {
  label: string;
  choice: string;
}

function choices(doubt: Doubt): Choice[] {
  if (doubt.field === "side" && !doubt.heard) return [{ label: "left", choice: "left" }, { label: "right", choice: "right" }];
  if (doubt.field === "order") return [{ label: "Yes, it was done so", choice: "heard" }];
  if (!doubt.heard) return [];
  const heard = { label: doubt.heard, choice: "heard" };
  if (!doubt.runner_up) return [{ ...heard, label: `Yes, ${doubt.heard}` }];
  return [heard, { label: doubt.runner_up, choice: "runner_up" }];
}

const begun = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** The question, and apart from it why it is asked. */
function parted({ field, question, why }: Doubt): [question: string, why: string] {
  if (field === "order") return ["Done out of order?", begun(why)];
  const head = question.replace(` (${why})`, "").replace(/^(side|face)\?$/, "which $1?");
  return [begun(head), head.length < question.length ? begun(why) : ""];
}

export function Asking({ entry, doubt }: { entry: Line; doubt: Doubt }) {
  const offered = choices(doubt);
  const [question, why] = parted(doubt);
  const leave = (): void => {
    state.leftForDesk.value = new Set([...state.leftForDesk.value, `${entry.id} ${doubt.field}`]);
  };
  return (
    <section class="asking" aria-label="A doubt">
      <p class="about">{entry.line}</p>
      <p class="question">{question}</p>
      {why && <p>{why}</p>}
      <div class="answers">
        {offered.map(({ label, choice }) => (
          <button key={choice} class={/\S{10}/.test(label) ? "answer long" : "answer"} onClick={() => void settle(entry.id, doubt.field, choice)}>
            {label}
          </button>
        ))}
      </div>
      <div class="answers">
        <button class="answer later" onClick={() => void scratch(entry.id)}>Scratch it</button>
        <button class="answer later" onClick={leave}>Leave it for the desk</button>
      </div>
    </section>
  );
}
