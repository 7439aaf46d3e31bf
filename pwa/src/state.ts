// What the screens show, as signals. Screens read them; only the modules in work/ and main.tsx write them.
import { computed, effect, signal } from "@preact/signals";
import { type Choice, USUAL as USUAL_CALLS } from "./calls/choice";
import type { Clock } from "./calls/clock";
import type { Medium, Row } from "./keep/db";
import type { Room } from "./keep/room";
import { type Likes, USUAL as USUAL_LIKES, dayLiked, timeLiked } from "./likes";
import type { SyncState } from "./sync/sync";
import type { Board } from "./understand/messages";

export type Stage = "ready" | "opening" | "recording" | "keeping";
export type Power = { kind: "loading" } | { kind: "on" } | { kind: "off"; why: string };

export const stage = signal<Stage>("ready");
export const level = signal(0);
export const seconds = signal(0);
/** What was last said back, doubts first; `entry` is the entry that it is about. */
export const said = signal<{ lines: string[]; entry: string | null; tone: "plain" | "doubt" | "wrong" } | null>(null);
/** Recordings that are kept and not yet gone through. */
export const inLine = signal(0);
export const mindPower = signal<Power>({ kind: "loading" });
export const earPower = signal<Power>({ kind: "loading" });
/** Whether this phone hears with a model of the shop computer's. */
export const betterEar = signal<{ kind: "none" } | { kind: "on"; name: string } | { kind: "off"; why: string }>({ kind: "none" });
/** Whether this phone's own hearing goes by a learnt voice. */
export const voicePower = signal<{ kind: "none" } | Exclude<Power, { kind: "loading" }>>({ kind: "none" });
export const board = signal<Board | null>(null);
/** What is on this phone alone; `since` is the wall time of the oldest of it, "" where there is none. */
export const unsent = signal({ operations: 0, media: 0, refused: [] as Row[], since: "" });
/** How the builder likes days and times written, as the shop computer told it last. */
export const likes = signal<Likes>(USUAL_LIKES);
export const dayTold = (wall: string): string => dayLiked(likes.value, wall);
export const whenTold = (wall: string): string => `${dayTold(wall)}, ${timeLiked(likes.value, wall)}`;
export const syncState = signal<SyncState>({ kind: "starting" });
export const room = signal<Room | null>(null);
export const update = signal<ServiceWorker | null>(null);
export const notice = signal("");
export const photos = signal<{ id: string; url: string }[]>([]);
export const stored = signal<Medium[]>([]);
/** Doubts that were left for the desk on this visit, by entry and field. */
export const leftForDesk = signal<ReadonlySet<string>>(new Set());
/** The clocks that run, the first due first, and the time by which they are counted. */
export const clocks = signal<Clock[]>([]);
export const clockNow = signal(0);
/** The clock whose answers are on the screen, by its entry; null for none. */
export const clockShown = signal<string | null>(null);
export const calls = signal<Choice>(USUAL_CALLS);
/** Why the shop computer's calls do not reach this phone, "" if they do or nobody knows. */
export const callTrouble = signal("");
/** The entry that a notification asked to see. */
export const opened = signal<string | null>(null);
export const screen = signal<"work" | "log" | "sums" | "shop">("work");

export interface Settings {
  hand: "right" | "left";
  aloud: boolean;
  tones: boolean;
  handsFree: boolean;
  /** Seconds of silence that end a hands-free note. */
  silence: number;
  /** The microphone is held open while the Bench is in front. */
  ready: boolean;
  /** A headset's button starts and ends a note. */
  headset: boolean;
}

const USUAL: Settings = { hand: "right", aloud: true, tones: true, handsFree: false, silence: 2, ready: true, headset: false };
const SETTINGS = "plytally-settings";

function remembered(): Settings {
  try {
    return { ...USUAL, ...(JSON.parse(localStorage.getItem(SETTINGS) ?? "{}") as Partial<Settings>) };
  } catch {
    return USUAL;
  }
}

export const settings = signal<Settings>(remembered());
effect(() => {
  try {
    localStorage.setItem(SETTINGS, JSON.stringify(settings.value));
  } catch {
    notice.value = "the settings could not be kept on this phone";
  }
});

export const change = (part: Partial<Settings>): void => {
  settings.value = { ...settings.value, ...part };
};

/**
 * The doubt to ask about now: of the entry just spoken, unless it was left for the desk. Words that were not
 * understood at all are no question with two answers; they wait for the second hearing.
 */
export const asking = computed(() => {
  const about = said.value?.entry;
  const entry = board.value?.to_settle.find((line) => line.id === about);
  const open = (name: string): boolean => name !== "text" && !leftForDesk.value.has(`${entry?.id} ${name}`);
  const doubt = entry?.doubts.find((each) => open(each.field));
  return entry && doubt ? { entry, doubt } : null;
});

/** The entry just spoken, if its words were not understood: it can be told by touch. */
export const notUnderstood = computed(() => {
  const about = said.value?.entry;
  const entry = board.value?.to_settle.find((line) => line.id === about);
  return entry?.doubts.some((doubt) => doubt.field === "text") ? entry.id : null;
});

/** An entry is being built by touch; `about` is the note that it tells anew, null for one of its own; `kind`: of this kind. */
export const building = signal<{ about: string | null; kind?: string | undefined } | null>(null);

export const unsentCount = computed(() => unsent.value.operations + unsent.value.media + unsent.value.refused.length + inLine.value);
