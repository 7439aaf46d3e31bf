// How this desk likes things: its shortcuts, the places in photos, the passphrase.
import { useEffect, useState } from "preact/hooks";
import { ask, get, session, whyNot } from "./ask";
import { keysOn, switchKeys } from "./keys";

interface Settings {
  photo_places: boolean;
}

export function Habits() {
  return (
    <div class="leaf">
      <h1>Habits of this desk</h1>
      <Ways />
      <Passphrase />
    </div>
  );
}

function Ways() {
  const [settings, setSettings] = useState<Settings | null>(null);
  const [wrong, setWrong] = useState("");
  useEffect(() => {
    get<Settings>("/api/desk/settings").then(setSettings, (problem) => setWrong(whyNot(problem)));
  }, []);
  const change = (part: Partial<Settings>): void => {
    ask<Settings>("PATCH", "/api/desk/settings", part).then(setSettings, (problem) => setWrong(whyNot(problem)));
  };
  return (
    <section class="slip">
      <h2>Keys and photos</h2>
      <label class="pick">
        <input type="checkbox" checked={keysOn.value} onChange={(event) => switchKeys(event.currentTarget.checked)} />
        <span>Single keys work in this browser; <kbd>?</kbd> lists them</span>
      </label>
      {settings && (
        <label class="pick">
          <input type="checkbox" checked={settings.photo_places} onChange={(event) => change({ photo_places: event.currentTarget.checked })} />
          Hand out photos with the place on earth where they were taken
        </label>
      )}
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}

function Passphrase() {
  const [current, setCurrent] = useState("");
  const [fresh, setFresh] = useState("");
  const [wrong, setWrong] = useState("");
  const change = (event: Event): void => {
    event.preventDefault();
    ask<null>("PUT", "/api/desk/passphrase", { current, fresh }).then(
      () => { session.value = "out"; },
      (problem) => setWrong(whyNot(problem)),
    );
  };
  return (
    <section class="slip">
      <h2>Another passphrase</h2>
      <p>Every browser that is signed in is signed out by it, this one too.</p>
      <form class="stacked" onSubmit={change}>
        <label>The one that is <input type="password" autocomplete="current-password" required value={current} onInput={(event) => setCurrent(event.currentTarget.value)} /></label>
        <label>The one that shall be, 12 characters or more <input type="password" autocomplete="new-password" required minLength={12} maxLength={256} value={fresh} onInput={(event) => setFresh(event.currentTarget.value)} /></label>
        <button type="submit">Change it</button>
      </form>
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}
