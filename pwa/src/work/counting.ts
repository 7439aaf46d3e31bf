// Counts what is not on the shop computer yet, and how much room the phone has.
import { media } from "../keep/media";
import { all } from "../keep/operations";
import { isLow, makeRoom, room } from "../keep/room";
import * as state from "../state";

export async function count(): Promise<void> {
  const rows = await all();
  const kept = await media();
  state.unsent.value = {
    operations: rows.filter((row) => row.there === 0).length,
    media: kept.filter((medium) => medium.stage === "noted" && medium.there === 0).length,
    refused: rows.filter((row) => row.there === 2),
  };
  state.stored.value = kept;
  const found = await room();
  if (isLow(found)) await makeRoom();
  state.room.value = isLow(found) ? await room() : found;
}
