// Photos of an entry: those that are there, and putting more to it by picking files or dropping them on the page.
import { useEffect, useRef, useState } from "preact/hooks";
import { whyNot } from "../ask";
import { seen } from "./request";
import type { Entry } from "./shapes";
import { type Shot, photosOf, sendPhotos, sending } from "./shots";
import { act, say } from "./state";

export function Photos({ entry }: { entry: Entry }) {
  const photos = entry.attachments.filter((each) => each.role === "photo");
  return (
    <section aria-label="Photos" class="shots">
      {photos.length > 0 && (
        <ul class="photos">
          {photos.map((photo, at) => (
            <li key={photo.operation}>
              <a href={`/api/media/${photo.media}`} target="_blank" rel="noreferrer">
                <img src={`/api/media/${photo.media}/small`} alt={`photo ${at + 1} of this entry, ${photo.name || "without a name"}; opens in full`} loading="lazy" />
              </a>
              {photo.name && <span class="small">{photo.name}</span>}
            </li>
          ))}
        </ul>
      )}
      {entry.withdrawn === null && <Picker label={photos.length > 0 ? "Add more photos" : "Add photos"} hotkey="p" take={(files) => void addPhotos(entry, files)} />}
      <Sending />
    </section>
  );
}

/** Send photos and put them to an entry. */
export async function addPhotos(entry: Entry, files: FileList | null | undefined): Promise<void> {
  const { photos, others } = photosOf(files);
  if (others.length > 0) say(`“${others.join("”, “")}” is no photo; nothing was added.`, true);
  if (others.length > 0 || photos.length === 0 || sending.value) return;
  try {
    const shots = await sendPhotos(photos);
    await act({ act: "attach", entries: [seen(entry)], photos: shots }, shots.length === 1 ? "The photo is added." : `${shots.length} photos are added.`);
  } catch (problem) {
    say(whyNot(problem), true);
  }
}

/** Open the picker that is on the page. */
export const pickPhotos = (): void => document.querySelector<HTMLInputElement>("[data-photos]")?.click();

export function Picker({ label, hotkey = "", take }: { label: string; hotkey?: string; take(files: FileList | null): void }) {
  const field = useRef<HTMLInputElement>(null);
  return (
    <p class="picker">
      <label class="button">
        {label} {hotkey && <kbd>{hotkey}</kbd>}
        <input ref={field} type="file" accept="image/*" multiple data-photos={hotkey ? "" : undefined}
          onChange={(event) => { take(event.currentTarget.files); event.currentTarget.value = ""; }} />
      </label>
      <span class="small only-wide"> or drop them on the page</span>
    </p>
  );
}

export function Sending() {
  const now = sending.value;
  if (!now) return null;
  return (
    <p class="progress" role="status">
      <span id="sending-told">Photo {now.at} of {now.of}, {now.name}</span>
      <progress aria-labelledby="sending-told" value={now.done} max={now.bytes || 1} />
    </p>
  );
}

/** While files are held over the page it shows that they may be dropped; what is dropped is given on. */
export function useDrop(take: (files: FileList) => void): boolean {
  const [over, setOver] = useState(false);
  const latest = useRef(take);
  latest.current = take;
  useEffect(() => {
    let deep = 0;
    const files = (event: DragEvent): boolean => [...(event.dataTransfer?.types ?? [])].includes("Files");
    const enter = (event: DragEvent): void => {
      if (files(event)) setOver((deep += 1) > 0);
    };
    const leave = (event: DragEvent): void => {
      if (files(event)) setOver((deep = Math.max(0, deep - 1)) > 0);
    };
    const hold = (event: DragEvent): void => {
      if (files(event)) event.preventDefault();
    };
    const drop = (event: DragEvent): void => {
      if (!files(event)) return;
      event.preventDefault();
      setOver((deep = 0) > 0);
      if (event.dataTransfer) latest.current(event.dataTransfer.files);
    };
    const listeners = [["dragenter", enter], ["dragleave", leave], ["dragover", hold], ["drop", drop]] as const;
    for (const [name, listener] of listeners) addEventListener(name, listener);
    return () => {
      for (const [name, listener] of listeners) removeEventListener(name, listener);
    };
  }, []);
  return over;
}

/** Small pictures of photos that are sent and not noted yet, each to be left out again. */
export function Shots({ shots, leaveOut }: { shots: readonly Shot[]; leaveOut(shot: Shot): void }) {
  if (shots.length === 0) return null;
  return (
    <ul class="photos">
      {shots.map((shot) => (
        <li key={shot.media}>
          <img src={`/api/media/${shot.media}/small`} alt={shot.name} />
          <button type="button" onClick={() => leaveOut(shot)}>Leave {shot.name || "it"} out</button>
        </li>
      ))}
    </ul>
  );
}
