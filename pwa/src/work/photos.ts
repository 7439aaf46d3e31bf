// Photos as they come from the camera: kept whole, shown small, and put in line for their entry.
import { soundContext } from "../capture/microphone";
import { smallOf } from "../capture/photo";
import { signal } from "../capture/signals";
import { keepPhoto, putMedium } from "../keep/media";
import { whyNotKept } from "../keep/room";
import * as state from "../state";
import { enqueue } from "./queue";
import { wrong } from "./session";

/** Keep the photos just taken, each whole, and show them small. */
export async function takePhotos(files: readonly File[]): Promise<void> {
  for (const file of files) {
    try {
      const medium = await keepPhoto(file, null);
      signal("kept", soundContext(), state.settings.value.tones);
      const small = await smallOf(file);
      const kept = small ? { ...medium, small } : medium;
      if (small) await putMedium(kept);
      const url = URL.createObjectURL(new Blob([small ?? (await file.arrayBuffer())], { type: small ? "image/jpeg" : file.type }));
      state.photos.value = [{ id: medium.id, url }, ...state.photos.value].slice(0, 4);
      enqueue(kept);
    } catch (problem) {
      wrong(`the photo could not be kept: ${whyNotKept(problem)}`);
    }
  }
}
