// The build in pictures: all of it, one part's faces, hours and days, resin and cloth.
import "./build.css";
import { useEffect, useState } from "preact/hooks";
import { get, whyNot } from "../ask";
import { useKeys } from "../keys";
import { go, to } from "../way";
import { Figure, type Picture } from "./figure";

export interface PartName {
  part: string;
  side: string;
  told: string;
}

export interface Overview {
  aircraft: string;
  revision: string;
  parts: PartName[];
  figures: Picture[];
}

const VIEWS = [
  { name: "all", label: "The whole build", path: "/api/desk/pictures" },
  { name: "work", label: "Hours and days", path: "/api/desk/pictures/work" },
  { name: "stores", label: "Resin and cloth", path: "/api/desk/pictures/stores" },
] as const;

export function TheBuild({ rest }: { rest: readonly string[] }) {
  const [view = "all", part = "", side = ""] = rest;
  const [overview, setOverview] = useState<Overview | null>(null);
  const [figures, setFigures] = useState<Picture[] | null>(null);
  const [wrong, setWrong] = useState("");
  const path = VIEWS.find((each) => each.name === view)?.path
    ?? `/api/desk/pictures/part?${new URLSearchParams({ part, side })}`;
  useEffect(() => {
    get<Overview>("/api/desk/pictures").then(setOverview, (problem) => setWrong(whyNot(problem)));
  }, []);
  useEffect(() => {
    let left = false;
    setFigures(null);
    setWrong("");
    get<{ figures: Picture[] }>(path).then(
      (came) => { if (!left) setFigures(came.figures); },
      (problem) => { if (!left) setWrong(whyNot(problem)); },
    );
    return () => { left = true; };
  }, [path]);
  const parts = overview?.parts ?? [];
  const at = view === "part" ? parts.findIndex((each) => each.part === part && each.side === side) : -1;
  const open = (next: PartName | undefined): void => {
    if (next) go("build", ["part", next.part, next.side]);
  };
  useKeys("The build", [
    { key: "n", does: "next part", act: () => open(parts[at + 1]) },
    { key: "p", does: "part before", act: () => open(parts[at > 0 ? at - 1 : parts.length - 1]) },
    { key: "w", does: "the whole build", act: () => go("build") },
    { key: "t", does: "hours and days", act: () => go("build", ["work"]) },
    { key: "r", does: "resin and cloth", act: () => go("build", ["stores"]) },
  ]);
  return (
    <div class="leaf">
      <h1>{overview?.aircraft ? `${overview.aircraft}, print revision ${overview.revision}` : "The build"}</h1>
      <div class="views">
        <nav aria-label="Pictures">
          {VIEWS.map((each) => (
            <a key={each.name} href={each.name === "all" ? to("build") : to("build", each.name)} aria-current={each.name === view ? "page" : undefined}>{each.label}</a>
          ))}
        </nav>
        {parts.length > 0 && (
          <label>One part
            <select value={String(at)} onChange={(event) => open(parts[Number(event.currentTarget.value)])}>
              <option value="-1" disabled>choose a part</option>
              {parts.map((each, number) => <option key={each.told} value={String(number)}>{each.told}</option>)}
            </select>
          </label>
        )}
      </div>
      <p class="wrong" role="alert">{wrong}</p>
      {figures === null && !wrong && <p role="status">Drawing …</p>}
      {figures?.map((picture) => <Figure key={picture.title} picture={picture} />)}
    </div>
  );
}
