// Shortcuts: each screen says which keys it takes and what they do; '?' lists those that work now.
// They can be switched off (WCAG 2.2, 2.1.4), and never take a key from a field or a control that wants it.
import { signal } from "@preact/signals";
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";

export interface Shortcut {
  /** As KeyboardEvent.key has it: "a", "?", "ArrowDown". */
  key: string;
  does: string;
  act(): void;
}

const SWITCH = "plytally-desk-keys";
const groups = signal<readonly { name: string; keys: readonly Shortcut[] }[]>([]);
export const listOpen = signal(false);
export const keysOn = signal(remembered());

function remembered(): boolean {
  try {
    return localStorage.getItem(SWITCH) !== "off";
  } catch {
    return true;
  }
}

export function switchKeys(on: boolean): void {
  keysOn.value = on;
  try {
    localStorage.setItem(SWITCH, on ? "on" : "off");
  } catch {
    // the browser keeps nothing: it holds for this visit
  }
}

/** While the calling screen is shown, these keys work, the latest screen's first. */
export function useKeys(name: string, keys: readonly Shortcut[]): void {
  const latest = useRef(keys);
  latest.current = keys;
  const told = keys.map((each) => `${each.key} ${each.does}`).join("\n");
  // before the browser paints: what is seen can be pressed
  useLayoutEffect(() => {
    const group = {
      name,
      keys: latest.current.map((each, at) => ({ ...each, act: () => latest.current[at]?.act() })),
    };
    groups.value = [group, ...groups.value];
    return () => {
      groups.value = groups.value.filter((each) => each !== group);
    };
  }, [name, told]);
}

const WRITES = "input:not([type=checkbox]):not([type=radio]):not([type=range]), textarea, select, [contenteditable]";
const PRESSES = new Set(["Enter", " "]);
const MOVES = new Set(["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight", "Home", "End"]);

/** Whether the control that has the focus wants this key for itself. */
function wanted(event: KeyboardEvent): boolean {
  const at = event.target instanceof Element ? event.target : null;
  if (at?.closest(WRITES)) return true;
  if (PRESSES.has(event.key)) return at?.closest("button, a, audio, summary, input") !== null;
  return MOVES.has(event.key) && at?.closest("audio, input, [role=slider]") !== null;
}

export function onKey(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  if (document.querySelector("dialog[open]") || wanted(event)) return;
  if (event.key === "?") {
    event.preventDefault();
    listOpen.value = true;
    return;
  }
  if (!keysOn.value || (event.repeat && !MOVES.has(event.key))) return;
  const found = groups.value.flatMap((group) => group.keys).find((each) => each.key === event.key);
  if (!found) return;
  event.preventDefault();
  found.act();
}

const FACES: Record<string, string> = { ArrowDown: "↓", ArrowUp: "↑", ArrowLeft: "←", ArrowRight: "→", Enter: "Enter", Escape: "Esc", " ": "Space" };
export const face = (key: string): string => FACES[key] ?? (/^[A-Z]$/.test(key) ? `Shift ${key}` : key);

export function KeyList() {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (listOpen.value) box.current?.showModal();
  }, [listOpen.value]);
  if (!listOpen.value) return null;
  const close = (): void => {
    listOpen.value = false;
  };
  return (
    <dialog ref={box} class="keylist" aria-labelledby="keylist-title" onClose={close}>
      <h2 id="keylist-title">Keys that work here</h2>
      {groups.value.filter((group) => group.keys.length > 0).map((group) => (
        <section key={group.name}>
          <h3>{group.name}</h3>
          <dl>
            {group.keys.map((each) => (
              <div key={each.key}><dt><kbd>{face(each.key)}</kbd></dt><dd>{each.does}</dd></div>
            ))}
          </dl>
        </section>
      ))}
      <label class="pick">
        <input type="checkbox" checked={keysOn.value} onChange={(event) => switchKeys(event.currentTarget.checked)} />
        Single keys work in this browser
      </label>
      <form method="dialog"><button autofocus>Close</button></form>
    </dialog>
  );
}
