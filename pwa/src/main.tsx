// Puts the pieces together: the screen first, then what an earlier visit left, then the workers and the sync.
import "./looks.css";
import { render } from "preact";
import { warmUp } from "./capture/microphone";
import { whenBlocked } from "./keep/db";
import { self } from "./keep/operations";
import { askToLast } from "./keep/room";
import { App } from "./screens/app";
import { onKey } from "./screens/work";
import { speakAloud } from "./speak/speak";
import * as state from "./state";
import { soon, startSync } from "./sync/sync";
import { takeOver, watchUpdates } from "./work/updates";
import { count } from "./work/counting";
import { takeUpAgain } from "./work/queue";
import { closeCut, handsFree } from "./work/session";
import { load, show, takePrint } from "./work/thinking";

const place = document.getElementById("bench");
if (place) render(<App takeOver={takeOver} />, place);
performance.measure("ready to record");
addEventListener("keydown", onKey);
whenBlocked(() => {
  state.said.value = { lines: ["close plytally's other tabs: they hold an older copy open"], entry: null, tone: "wrong" };
});
if (new URLSearchParams(location.hash.slice(1)).has("code")) state.screen.value = "shop";

async function afterFirstScreen(): Promise<void> {
  void warmUp();
  await self();
  const cut = await closeCut();
  if (cut > 0) state.said.value = { lines: [`taken up again: ${cut === 1 ? "a recording that was" : `${cut} recordings that were`} cut short`], entry: null, tone: "plain" };
  await count();
  load();
  await takeUpAgain();
  speakAloud(state.settings.value.aloud);
  startSync({
    came: (rows) => void show(rows).then(count),
    print: () => void takePrint(),
    state: (now) => {
      state.syncState.value = now;
    },
  });
  void askToLast();
  if (state.settings.value.handsFree) await handsFree(true);
  soon(0);
}

requestAnimationFrame(() => setTimeout(() => void afterFirstScreen(), 0));
watchUpdates();
