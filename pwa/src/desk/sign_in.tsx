// Before the desk tells anything: the passphrase.
import { useState } from "preact/hooks";
import { Refused, signIn, whyNot } from "./ask";

export function SignIn() {
  const [passphrase, setPassphrase] = useState("");
  const [wrong, setWrong] = useState("");
  const [none, setNone] = useState(false);
  const enter = async (event: Event): Promise<void> => {
    event.preventDefault();
    setWrong("");
    try {
      await signIn(passphrase);
    } catch (problem) {
      setNone(problem instanceof Refused && problem.kind === "no-passphrase");
      setWrong(whyNot(problem));
    }
  };
  return (
    <main class="door">
      <form class="slip stacked" onSubmit={(event) => void enter(event)}>
        <h1>The desk</h1>
        <label>Passphrase <input type="password" name="passphrase" autocomplete="current-password" required autofocus value={passphrase} onInput={(event) => setPassphrase(event.currentTarget.value)} /></label>
        <button type="submit">Sign in</button>
        <p class="wrong" role="alert">{wrong}</p>
        <p class={none ? "" : "small"}>
          {none ? "Open a terminal on the shop computer and run" : "No passphrase yet, or forgotten? On the shop computer, run"} <code>plytally desk</code>; it asks for a new one.
        </p>
      </form>
    </main>
  );
}
