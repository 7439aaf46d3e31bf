// The frame of the desk: tags for the pages, the page itself, and nothing at all for who is not signed in.
import { useEffect, useRef, useState } from "preact/hooks";
import { session, signOut, whyNot } from "./ask";
import { KeyList, face, listOpen, useKeys } from "./keys";
import { PAGES, type Page } from "./pages";
import { loadSettings } from "./settings";
import { SignIn } from "./sign_in";
import { go, to, way } from "./way";

export function Desk({ wrong }: { wrong: string }) {
  if (wrong) return <main class="door"><p class="slip wrong" role="alert">{wrong}</p></main>;
  if (session.value === "unknown") return <main class="door"><p role="status">Asking the shop computer …</p></main>;
  if (session.value === "out") return <SignIn />;
  return <Inside />;
}

function Inside() {
  const here = PAGES.find((page) => page.name === way.value.page) ?? PAGES[0];
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  useEffect(() => void loadSettings().catch(() => undefined), []);
  useKeys("Pages", PAGES.map((page) => ({ key: page.key, does: page.label, act: () => go(page.name) })));
  useEffect(() => {
    document.title = here ? `${here.label}: plytally, the desk` : "plytally, the desk";
    if (!first.current && !main.current?.contains(document.activeElement)) main.current?.focus();
    first.current = false;
  }, [here]);
  if (!here) return null;
  return (
    <div class="desk">
      <a class="skip" href="#main" onClick={(event) => { event.preventDefault(); main.current?.focus(); }}>Skip to the page</a>
      <Top here={here} />
      <main ref={main} tabIndex={-1}><here.Screen rest={way.value.page === here.name ? way.value.rest : []} /></main>
      <KeyList />
    </div>
  );
}

function Top({ here }: { here: Page }) {
  const [wrong, setWrong] = useState("");
  const tags = useRef<HTMLElement>(null);
  useEffect(() => tags.current?.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest", inline: "nearest" }), [here]);
  return (
    <header class="rail">
      <nav aria-label="Pages" ref={tags}>
        {PAGES.map((page) => (
          <a key={page.name} class="tag" href={to(page.name)} aria-current={page === here ? "page" : undefined} title={face(page.key)}>{page.label}</a>
        ))}
      </nav>
      <div class="ends">
        <button onClick={() => { listOpen.value = true; }}>Keys <kbd>?</kbd></button>
        <button onClick={() => void signOut().catch((problem) => setWrong(whyNot(problem)))}>Sign out</button>
      </div>
      {wrong && <p class="wrong" role="alert">{wrong}</p>}
    </header>
  );
}
