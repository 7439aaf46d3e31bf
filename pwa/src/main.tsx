// Puts the pieces together: the screen first, then what an earlier visit left, then the workers and the sync.
import "./looks.css";
import { render } from "preact";
import { checkCalls } from "./calls/subscribe";
import { whenBlocked, whenFull, whenNewer } from "./keep/db";
import { offerAgain, self } from "./keep/operations";
import { askToLast, makeRoomNow, whyNotKept } from "./keep/room";
import { App } from "./screens/app";
import { speakAloud } from "./speak/speak";
import * as state from "./state";
import { knockWhenAway } from "./sync/background";
import { soon, startSync } from "./sync/sync";
import { holdAtHand } from "./work/at_hand";
import { takeOver, watchUpdates } from "./work/updates";
import { followKeys } from "./work/keys";
import { count } from "./work/counting";
import { halfBuilt } from "./work/half_built";
import { takeUpAgain } from "./work/queue";
import { handsFree } from "./work/hands_free";
import { closeCut } from "./work/session";
import { load, show, takePrint } from "./work/thinking";
import { open, startClocks } from "./work/ticking";

state.building.value = halfBuilt();
const place = document.getElementById("bench");
if (place) render(<App takeOver={takeOver} />, place);
performance.measure("ready to record");
followKeys();
whenBlocked(() => {
  state.said.value = { lines: ["close plytally's other tabs: they hold an older copy open"], entry: null, tone: "wrong" };
});
whenFull(makeRoomNow);
whenNewer(() => {
  state.said.value = { lines: ["a newer plytally is open in another tab: reload this one"], entry: null, tone: "wrong" };
});
const hash = new URLSearchParams(location.hash.slice(1));
if (hash.has("code")) state.screen.value = "shop";
const asked = hash.get("entry");
if (asked) {
  open(asked);
  history.replaceState(null, "", "/");
}

/** What an earlier visit left. A storage that fails here, a full one say, must not keep the rest from starting. */
async function takeUp(): Promise<void> {
  try {
    await self();
    const cut = await closeCut();
    if (cut > 0) state.said.value = { lines: [`taken up again: ${cut === 1 ? "a recording that was" : `${cut} recordings that were`} cut short`], entry: null, tone: "plain" };
    await offerAgain();
    await count();
  } catch (problem) {
    state.said.value = { lines: [`this phone cannot keep anything now: ${whyNotKept(problem)}`], entry: null, tone: "wrong" };
  }
}

async function afterFirstScreen(): Promise<void> {
  holdAtHand();
  await takeUp();
  await startClocks(show).catch((problem: unknown) => console.warn("the clocks do not run", problem));
  load();
  await takeUpAgain().catch(() => 0);
  speakAloud(state.settings.value.aloud);
  startSync({
    came: (rows) => void show(rows).then(count),
    print: () => void takePrint(),
    state: (now) => {
      state.syncState.value = now;
    },
  });
  knockWhenAway(() => state.unsentCount.value > 0);
  void askToLast();
  void navigator.serviceWorker?.ready.then((registration) => checkCalls(state.calls.value, registration)).then((why) => {
    state.callTrouble.value = why;
  });
  if (state.settings.value.handsFree) await handsFree(true);
  soon(0);
}

requestAnimationFrame(() => setTimeout(() => void afterFirstScreen(), 0));
watchUpdates();
