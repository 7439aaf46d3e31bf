// Counts what is not on the shop computer yet, and how much room the phone has.
import { withDb } from "../keep/db";
import { media } from "../keep/media";
import { waiting } from "../keep/operations";
import { isLow, makeRoom, room } from "../keep/room";
import { wall } from "../keep/clock";
import * as state from "../state";

const localTime = (millis: number): string => wall(millis, -new Date(millis).getTimezoneOffset());

export async function count(): Promise<void> {
  const rows = await waiting(Infinity);
  const refused = await withDb((db) => db.getAllFromIndex("operations", "there", 2));
  const kept = await media();
  const sounds = kept.filter((medium) => medium.stage === "noted" && medium.there === 0);
  const times = [...rows.map((row) => row.operation.wall), ...sounds.map((medium) => localTime(medium.startedMillis))];
  state.unsent.value = { operations: rows.length, media: sounds.length, refused, since: times.sort()[0] ?? "" };
  state.stored.value = kept;
  const found = await room();
  if (isLow(found)) await makeRoom();
  state.room.value = isLow(found) ? await room() : found;
}
