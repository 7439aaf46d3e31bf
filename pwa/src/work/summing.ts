// Sums: what the builder has written into the cards, what they come to, and keeping one in the log.
import { effect, signal } from "@preact/signals";
import { signal as tell } from "../capture/signals";
import type { Row } from "../keep/db";
import { record } from "../keep/operations";
import { say } from "../speak/speak";
import * as state from "../state";
import { soon } from "../sync/sync";
import { type Ask, type Card, type Cards, type Found, type Given, type Input, type Where, isRows } from "../understand/sums";
import { count } from "./counting";
import { soundContext } from "../capture/microphone";
import { show, theMind } from "./thinking";

/** One input as it stands on the page; an amount's unit apart from its number. */
export interface Field {
  text: string;
  unit: string;
}
export type Drafts = Record<string, Record<string, Field[][]>>;

const DRAFTS = "plytally-sums";
export const cards = signal<Cards | null>(null);
export const open = signal("");
export const found = signal<Found | null>(null);
export const keptAs = signal<{ line: string; wrong: boolean } | null>(null);
export const drafts = signal<Drafts>(remembered());

// Readings of a drop test are not lost to a reload or a call.
function remembered(): Drafts {
  try {
    return JSON.parse(localStorage.getItem(DRAFTS) ?? "{}") as Drafts;
  } catch {
    return {};
  }
}
effect(() => {
  try {
    localStorage.setItem(DRAFTS, JSON.stringify(drafts.value));
  } catch {
    // a full storage keeps no drafts; the page still has them
  }
});

const NO_MIND = "sums need the part of plytally that is still being loaded, or cannot run on this phone (see Shop)";
const why = (problem: unknown): string => (problem instanceof Error ? problem.message : String(problem));

/** Learn which cards there are, and the builder's own cloths and places. */
export async function learn(): Promise<void> {
  const mind = await theMind();
  if (mind) cards.value = await mind.ask("cards");
}

const columns = (input: Input): Ask[] => (isRows(input) ? input.columns : [input]);
const fresh = (ask: Ask): Field => ({
  text: ask.holds === "yes" ? "no" : ask.holds === "choice" ? ask.usual : "",
  unit: unitOf(ask.usual) || (ask.units[0] ?? ""),
});
const unitOf = (amount: string): string => /^[-+0-9.]+ (\S+)$/.exec(amount)?.[1] ?? "";

/** The rows of an input as they stand; an input that is no row is one row of one field. */
export function rowsOf(card: Card, input: Input): Field[][] {
  const known = drafts.value[card.name]?.[input.name];
  if (known && known.every((row) => row.length === columns(input).length)) return known;
  const rows = isRows(input) ? input.shown : 1;
  return Array.from({ length: rows }, () => columns(input).map(fresh));
}

/** What was found belongs to what was given: any change takes it off the page. */
export function setRows(card: Card, input: Input, rows: Field[][]): void {
  drafts.value = { ...drafts.value, [card.name]: { ...drafts.value[card.name], [input.name]: rows } };
  found.value = null;
  keptAs.value = null;
}

/** One more empty row, its units as in the row before. */
export function addRow(card: Card, input: Input): void {
  const rows = rowsOf(card, input);
  const last = rows.at(-1);
  const more = columns(input).map((ask, at) => ({ ...fresh(ask), unit: last?.[at]?.unit ?? fresh(ask).unit }));
  setRows(card, input, [...rows, more]);
}

export function empty(card: Card): void {
  const { [card.name]: _gone, ...rest } = drafts.value;
  drafts.value = rest;
  found.value = null;
  keptAs.value = null;
}

export function goTo(name: string): void {
  open.value = name;
  found.value = null;
  keptAs.value = null;
}

const written = (ask: Ask, field: Field): string => {
  const text = field.text.trim();
  return text && ask.holds === "amount" ? `${text} ${field.unit}` : text;
};

/** All inputs of a card as the worker takes them. */
export function givenTo(card: Card): Given {
  const given: Given = {};
  for (const input of card.inputs) {
    const rows = rowsOf(card, input).map((row) => columns(input).map((ask, at) => written(ask, row[at] ?? fresh(ask))));
    given[input.name] = isRows(input) ? rows : (rows[0]?.[0] ?? "");
  }
  return given;
}

/** A refusal names its input as the page does. */
function named(card: Card, answer: Found): Found {
  if (!answer.wrong) return answer;
  const { where, why } = answer.wrong;
  return { wrong: { where: card.inputs.find((input) => input.name === where)?.label ?? where, why } };
}

export async function workOut(card: Card): Promise<void> {
  keptAs.value = null;
  try {
    const mind = await theMind();
    if (!mind) throw new Error(NO_MIND);
    const answer = named(card, await mind.ask("sum", card.name, givenTo(card)));
    if (open.value !== card.name) return; // another sum is on the page by now
    found.value = answer;
    if (answer.wrong) say([`${answer.wrong.where}: ${answer.wrong.why}`]);
    else say(answer.parts.slice(0, 1).map((part) => (typeof part === "string" ? part : `${part.what}: ${part.shown}`)));
  } catch (problem) {
    found.value = { wrong: { where: card.title, why: why(problem) } };
  }
}

/** Keep what was found as an entry of the log; it is on the phone's storage when this says so. */
export async function keepSum(card: Card, where: Where): Promise<void> {
  try {
    const mind = await theMind();
    if (!mind) throw new Error(NO_MIND);
    const reply = await mind.ask("keep_sum", card.name, givenTo(card), where);
    const made = await record(reply.acts);
    keptAs.value = { line: "Kept in the log.", wrong: false };
    tell("kept", soundContext(), state.settings.value.tones);
    const rows: Row[] = made.map((operation) => ({ id: operation.id, operation, there: 0, receivedMillis: null }));
    await show(rows);
    await count();
    soon(1500);
    await learn();
  } catch (problem) {
    keptAs.value = { line: `It is not kept: ${why(problem)}. It is still on this page; try again.`, wrong: true };
    tell("failed", soundContext(), state.settings.value.tones);
  }
}
