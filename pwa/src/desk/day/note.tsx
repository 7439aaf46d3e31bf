// An entry that was not noted: in words, with photos or both, at a time of the day that is open, or now.
import { useEffect, useState } from "preact/hooks";
import { whyNot } from "../ask";
import { offsetTold } from "../dates";
import { DayField } from "../day_field";
import { Line, Reads, Sheet } from "./forms";
import { Picker, Sending, Shots } from "./photos";
import { type Shot, photosOf, sendPhotos, takenAt } from "./shots";
import { act, day, say } from "./state";

export function Note({ files }: { files: FileList | undefined }) {
  const [words, setWords] = useState("");
  const [shots, setShots] = useState<readonly Shot[]>([]);
  const last = day.value?.entries.at(-1)?.wall;
  const [when, setWhen] = useState(last ? last.slice(0, 16) : "");
  const [chosen, setChosen] = useState(false);
  const wall = when ? `${when}:00.000${/(Z|[+-]\d\d:\d\d)$/.exec(last ?? "")?.[1] ?? "Z"}` : "";
  const take = async (given: FileList | null | undefined): Promise<void> => {
    const { photos, others } = photosOf(given);
    say(others.length > 0 ? `“${others.join("”, “")}” is no photo; it was left out.` : "", others.length > 0);
    try {
      const sent = await sendPhotos(photos);
      setShots((before) => [...before, ...sent.filter((shot) => !before.some((each) => each.media === shot.media))]);
      const [first] = sent;
      const taken = first && !chosen && shots.length === 0 ? await takenAt(first) : "";
      if (taken) setWhen(taken);
    } catch (problem) {
      say(whyNot(problem), true);
    }
  };
  useEffect(() => {
    if (files) void take(files);
  }, [files]);
  const go = (): Promise<unknown> => {
    const at = wall ? { wall } : {};
    const told = when ? "Noted, at that time." : "Noted, as of now.";
    return shots.length > 0 ? act({ act: "note_photos", words, photos: [...shots], ...at }, told) : act({ act: "note", words, ...at }, told);
  };
  return (
    <Sheet title="An entry that was not noted" does="Note it" go={go}>
      <Line label={shots.length > 0 ? "What was done; empty for the photos alone" : "What was done"} value={words} set={setWords} hint="laid two plies bid on the right elevator spar aft face" />
      <Reads words={words} of={[]} />
      <Shots shots={shots} leaveOut={(shot) => setShots((before) => before.filter((each) => each !== shot))} />
      <Picker label="Photos of it" take={(given) => void take(given)} />
      <Sending />
      <DayField time label={`When, by that day's clocks (${last ? offsetTold(last) : "UTC"}); empty for now`} value={when} set={(value) => { setWhen(value); setChosen(true); }} />
    </Sheet>
  );
}
