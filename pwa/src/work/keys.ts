// Any key of a keyboard, a remote, a presenter or a pedal starts and ends a note, or records while it is held; so
// does a headset's button. What is meant for something on the screen goes there.
import { effect } from "@preact/signals";
import { followHeadset, keepPlaying } from "../capture/headset";
import * as state from "../state";
import { stop, toggle } from "./session";

/** Pressed for longer than this, a key or the sheet records only while it is held. */
export const HELD_MS = 600;

const NEVER = new Set(["Tab", "Escape", "Shift", "Control", "Alt", "AltGraph", "Meta", "CapsLock", "Process", "Dead", "Home", "End"]);
/** A presenter's keys; they scroll wherever there is something to scroll. */
const TURNING = new Set(["PageUp", "PageDown", "ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]);

/** The last thing was a touch: a button that it left in focus is not what the next key is meant for. */
let touched = false;
let held: { key: string; since: number } | undefined;

export function followKeys(): void {
  addEventListener("pointerdown", () => { touched = true; }, { capture: true, passive: true });
  addEventListener("pointerup", keepPlaying, { passive: true });
  addEventListener("keydown", down);
  addEventListener("keyup", up);
  effect(() => followHeadset(state.settings.value.headset, () => void press(performance.now())));
}

function press(at: number): Promise<void> {
  if (state.screen.value !== "work") state.screen.value = "work";
  return toggle(at);
}

function down(event: KeyboardEvent): void {
  if (event.key === "Tab") touched = false;
  if (!isOurs(event)) return;
  event.preventDefault();
  if (event.repeat) return;
  held = state.stage.value === "ready" ? { key: event.key, since: performance.now() } : undefined;
  void press(event.timeStamp);
}

function up(event: KeyboardEvent): void {
  if (held?.key !== event.key) return;
  if (performance.now() - held.since > HELD_MS) void stop();
  held = undefined;
}

function isOurs(event: KeyboardEvent): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey || NEVER.has(event.key) || /^F[0-9]+$/.test(event.key)) return false;
  const at = event.target instanceof HTMLElement ? event.target : null;
  if (at?.closest("input:not([type=file]), textarea, select, audio")) return false;
  const scrolls = at !== null && at.closest("[tabindex]") !== null;
  if (TURNING.has(event.key)) return state.screen.value === "work" && !scrolls;
  const onButton = at?.closest("a, button:not([data-record]), input") ?? null;
  return onButton === null || touched || (event.key !== "Enter" && event.key !== " ");
}
