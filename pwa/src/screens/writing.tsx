// A note by keyboard: the same sentences as by voice. What is typed is there again after a reload.
import { useRef, useState } from "preact/hooks";
import * as state from "../state";
import { draft, keepDraft, keepWritten } from "../work/writing";

export function Writing({ close }: { close(): void }) {
  const [text, setText] = useState(draft());
  const keeping = useRef(false);
  const keep = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (keeping.current) return;
    keeping.current = true;
    if (await keepWritten(text.trim())) close();
    keeping.current = false;
  };
  const drop = (): void => {
    keepDraft("");
    close();
  };
  return (
    <form class="writing" onSubmit={(event) => void keep(event)}>
      <textarea
        aria-label="Write a note"
        placeholder="what you would say"
        autoFocus
        rows={2}
        enterkeyhint="done"
        onKeyDown={(event) => {
          if (event.key !== "Enter" || event.isComposing) return;
          event.preventDefault();
          event.currentTarget.form?.requestSubmit();
        }}
        value={text}
        onInput={(event) => {
          setText(event.currentTarget.value);
          keepDraft(event.currentTarget.value);
        }}
      />
      <button class="tool" type="submit">Keep</button>
      {text === "" && state.mindPower.value.kind === "on" && (
        <button class="tool" type="button" onClick={() => { state.building.value = { about: null }; close(); }}>By touch</button>
      )}
      <button class="tool" type="button" onClick={drop}>Close</button>
    </form>
  );
}
