// Holds the microphone ready while the Bench is in front, so that a touch records from its own moment on. It is
// let go on another page, out of sight, and after a while without a note: nobody should have to wonder.
import { effect } from "@preact/signals";
import { allowed, flowing, inUse, letGo, loadAhead, microphone, wake } from "../capture/microphone";
import * as state from "../state";
import { handsFree, handsFreeIsOn } from "./hands_free";

/** Without a note for so long, the microphone is let go; the next touch of the page opens it again. */
const IDLE_MS = 600_000;
/** Time to look at another page, or into the camera, and come back. */
const AWAY_MS = 25_000;

let goes: ReturnType<typeof setTimeout> | undefined;

/** Begin to hold it. Where the builder has not allowed the microphone for good, the first touch opens it. */
export function holdAtHand(): void {
  void loadAhead().catch(() => undefined); // the first touch tries again, and says why
  effect(() => {
    const { screen, stage, settings } = state;
    follow(screen.value === "work", stage.value !== "ready", settings.value.ready);
  });
  document.addEventListener("visibilitychange", again);
  addEventListener("pointerdown", again, { capture: true, passive: true });
  for (const kind of ["pointerup", "keydown"]) addEventListener(kind, wake, { capture: true, passive: true });
}

function again(): void {
  if (state.settings.value.handsFree && handsFreeIsOn() && !flowing() && document.visibilityState === "visible") {
    void handsFree(true);
  }
  follow(state.screen.value === "work", state.stage.value !== "ready", state.settings.value.ready);
}

function follow(inFront: boolean, busy: boolean, ready: boolean): void {
  clearTimeout(goes);
  if (busy) return;
  const wanted = ready && inFront && document.visibilityState === "visible";
  if (wanted) void openIfAllowed();
  goes = setTimeout(() => void leave(), wanted ? IDLE_MS : ready ? AWAY_MS : 0);
}

async function openIfAllowed(): Promise<void> {
  if (flowing() || !(await allowed()) || state.stage.value !== "ready") return;
  await microphone().catch(() => undefined); // the touch will say why
}

/** Where it was allowed for this once, it is kept: to ask again and again would be worse. */
async function leave(): Promise<void> {
  const good = await allowed();
  if (!good || state.stage.value !== "ready") return;
  if (!inUse()) return letGo();
  clearTimeout(goes);
  goes = setTimeout(() => void leave(), AWAY_MS);
}
