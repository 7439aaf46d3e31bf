// A doubt about the entry just spoken: two large answers, or the desk. The voice may answer it too.
import * as state from "../state";
import type { Doubt, Line } from "../understand/messages";
import { settle } from "../work/queue";

interface Choice {
  label: string;
  choice: string;
}

function choices(doubt: Doubt): Choice[] {
  if (doubt.field === "side" && !doubt.heard) return [{ label: "left", choice: "left" }, { label: "right", choice: "right" }];
  if (doubt.field === "order") return [{ label: "It was so", choice: "heard" }];
  if (!doubt.heard) return [];
  const heard = { label: doubt.heard, choice: "heard" };
  return doubt.runner_up ? [heard, { label: doubt.runner_up, choice: "runner_up" }] : [heard];
}

export function Asking({ entry, doubt }: { entry: Line; doubt: Doubt }) {
  const offered = choices(doubt);
  const leave = (): void => {
    state.leftForDesk.value = new Set([...state.leftForDesk.value, `${entry.id} ${doubt.field}`]);
  };
  return (
    <section class="asking" aria-label="A doubt">
      <p class="about">{entry.line}</p>
      <p class="question">{doubt.question}</p>
      <div class="answers">
        {offered.map(({ label, choice }) => (
          <button key={choice} class="answer" onClick={() => void settle(entry.id, doubt.field, choice)}>
            {label}
          </button>
        ))}
      </div>
      <div class="answers">
        <button class="answer later" onClick={leave}>Leave it for the desk</button>
      </div>
    </section>
  );
}
