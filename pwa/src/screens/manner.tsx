// How this phone behaves in the hand: which hand, what it says, what starts a note, when the microphone is open.
import type { ComponentChildren } from "preact";
import { speakAloud } from "../speak/speak";
import * as state from "../state";
import { handsFree } from "../work/hands_free";

export function Manner() {
  const { hand, aloud, tones, handsFree: free, silence, ready, headset } = state.settings.value;
  return (
    <section>
      <h2>How this phone behaves</h2>
      <fieldset>
        <legend>Held in the</legend>
        {(["left", "right"] as const).map((which) => (
          <label key={which} class="pick"><input type="radio" name="hand" checked={hand === which} onChange={() => state.change({ hand: which })} /> {which} hand</label>
        ))}
      </fieldset>
      <Switch label="Read entries and answers aloud" on={aloud} set={(on) => { state.change({ aloud: on }); speakAloud(on); }} />
      <Switch label="Tones for started, kept, failed and doubt" on={tones} set={(on) => state.change({ tones: on })} />
      <Switch label="Hold the microphone ready while the Bench is in front" on={ready} set={(on) => state.change({ ready: on })}>
        So that the first word is never cut: a note also keeps the third of a second before the touch. Of all else nothing is kept.
        It is let go on another page, when the app is out of sight, and after ten minutes without a note.
      </Switch>
      <Switch label="Hands-free: speaking starts a note, silence ends it" on={free} set={(on) => { state.change({ handsFree: on }); void handsFree(on); }}>
        While the Bench is in front. It goes by loudness.
      </Switch>
      <label>Silence that ends a note: {silence} seconds
        <input type="range" min="1" max="6" step="0.5" value={silence} onInput={(event) => { state.change({ silence: Number(event.currentTarget.value) }); if (free) void handsFree(true); }} />
      </label>
      <Switch label="A headset's button starts and ends a note" on={headset} set={(on) => state.change({ headset: on })}>
        The button comes here only while plytally plays something, so it plays silence, and other apps' music stops.
      </Switch>
    </section>
  );
}

function Switch({ label, on, set, children }: { label: string; on: boolean; set(on: boolean): void; children?: ComponentChildren }) {
  return (
    <>
      <label class="pick"><input type="checkbox" checked={on} onChange={(event) => set(event.currentTarget.checked)} /> {label}</label>
      {children && <p class="small">{children}</p>}
    </>
  );
}
