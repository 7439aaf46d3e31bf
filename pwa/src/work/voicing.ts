// The phone's own hearing takes on the voice that the shop computer learnt, and lets go of it again.
import { fact, setFact } from "../keep/db";
import type { Voice } from "../voice/voice";
import { isWhole } from "../voice/fitness";
import { type Means, fetchMeans } from "../voice/means";
import * as state from "../state";
import { listenAnew } from "./thinking";

const KEPT = "means";

/** Hear by the voice if it helps and is on, else by nobody's; the ear is made anew only where that changed. */
export async function takeVoice(voice: Voice): Promise<void> {
  const before = await fact<Means | null>(KEPT);
  const usable = state.voicePower.value.kind === "off" ? undefined : (before ?? undefined); // a bad file is fetched anew
  const now = voice.state === "learning" ? before : voice.state === "helps" ? await fetchMeans(usable) : null;
  if (now === undefined || ((now?.etag ?? "") === (before?.etag ?? "") && (!now || !before || (await isWhole(before))))) return;
  await setFact(KEPT, now);
  await listenAnew();
}
