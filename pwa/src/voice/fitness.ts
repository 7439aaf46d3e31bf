// Whether a learnt voice's file can be heard by: whole, as it left the shop computer, and made for this engine's model.
// Its form is that of CMU Sphinx 3: lines of text up to "endhdr", then numbers, all in the order of small machines.
import { sha256 } from "../keep/media";
import type { Means } from "./means";

const HEAD_ENDS = "endhdr\n";
const LONGEST_HEAD = 400;
const FROM_NOTES = "learnt_from notes\n";
const IN_THIS_ORDER = 0x11223344;
/** Before the numbers of a codebook stand the order, codebooks, streams, densities, a width for each stream, their count. */
const STREAMS = 3;

interface Head {
  /** The hash of the means of the model that it was learnt for; "" in a model's own file and in older ones. */
  model: string;
  shape: string;
  count: number;
  from: number;
}

/** Whether it is as it left the shop computer. */
export const isWhole = async ({ etag, bytes }: Means): Promise<boolean> => etag === `"${await sha256(bytes)}"`;

/** Whether sentences were read aloud for it; else it was learnt from notes, and not every number was heard of it. */
export const wasReadAloud = ({ bytes }: Means): boolean => !headText(bytes).includes(FROM_NOTES);

/** "" if it can be heard by; else what is wrong with it. `own` are the means of this phone's own model. */
export async function whyUnfit(means: Means, own: ArrayBuffer): Promise<string> {
  const { bytes } = means;
  const head = headOf(bytes);
  if (!head || !(await isWhole(means)) || bytes.byteLength !== head.from + 4 * head.count) return "its file is damaged";
  if (!new Float32Array(bytes.slice(head.from)).every(Number.isFinite)) return "its file is damaged";
  const sameModel = head.model === "" || head.model === (await sha256(own)).slice(0, head.model.length);
  return sameModel && head.shape === headOf(own)?.shape ? "" : "it was learnt for another version of the engine; learn it anew";
}

const headText = (bytes: ArrayBuffer): string => new TextDecoder("latin1").decode(bytes.slice(0, LONGEST_HEAD));

function headOf(bytes: ArrayBuffer): Head | undefined {
  const text = headText(bytes);
  const at = text.indexOf(HEAD_ENDS);
  const numbers = at + HEAD_ENDS.length;
  if (!text.startsWith("s3\n") || at < 0 || bytes.byteLength < numbers + 4 * (5 + STREAMS)) return undefined;
  const view = new DataView(bytes, numbers);
  const [order, ...rest] = Array.from({ length: 5 + STREAMS }, (_, each) => view.getInt32(4 * each, true));
  if (order !== IN_THIS_ORDER) return undefined;
  const model = /^model ([0-9a-f]+)$/m.exec(text.slice(0, at))?.[1] ?? "";
  return { model, shape: rest.join(" "), count: rest.at(-1) ?? 0, from: numbers + 4 * (5 + STREAMS) };
}
