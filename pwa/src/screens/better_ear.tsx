// The better ear: a speech model that the shop computer has, fetched once if the builder wants it here.
import { useEffect, useState } from "preact/hooks";
import { type Offer, fetchModel, forgetModel, modelHere, offered } from "../hear/offer";
import * as state from "../state";
import { listenAnew } from "../work/thinking";

const LARGE = 100_000_000;
const megabytes = (bytes: number): string => `${Math.ceil(bytes / 1e6)} MB`;

export function BetterEar() {
  const [offer, setOffer] = useState<Offer | null>(null);
  const [here, setHere] = useState("");
  const [share, setShare] = useState(-1);
  const [told, setTold] = useState("");
  const on = state.betterEar.value;
  const look = async (): Promise<void> => {
    setHere((await modelHere())?.address ?? "");
    setOffer((await offered()) ?? null);
  };
  useEffect(() => void look(), [state.syncState.value.kind]);
  const get = async (wanted: Offer): Promise<void> => {
    setShare(0);
    setTold("");
    try {
      await fetchModel(wanted, setShare);
      setTold("It is here; now it is unpacked, which takes a while the first time.");
      await listenAnew();
      setTold("");
    } catch (problem) {
      setTold(`It is not all here yet: ${problem instanceof Error ? problem.message : String(problem)}. What came stays.`);
    }
    setShare(-1);
    await look();
  };
  const drop = async (): Promise<void> => {
    await forgetModel();
    await listenAnew();
    await look();
  };
  const fresh = offer !== null && offer.address !== here;
  return (
    <div class="better-ear">
      {on.kind === "on" && <p>It hears with the model {on.name} of the shop computer.</p>}
      {on.kind === "off" && <p class="open">The model of the shop computer does not load here: {on.why}. The embedded engine hears.</p>}
      {fresh && (
        <>
          <p>The shop computer has a better ear: {offer.name}, {megabytes(offer.size)}.</p>
          {offer.size > LARGE && <p class="small">A model this large needs a phone with much memory; where it does not load, the embedded engine goes on.</p>}
          <button class="do" disabled={share >= 0} onClick={() => void get(offer)}>Fetch it</button>
        </>
      )}
      {here !== "" && <button class="do" onClick={() => void drop()}>Hear without it</button>}
      {share >= 0 && <progress aria-label="fetching the better ear" value={share} max={1} />}
      <p role="status">{told}</p>
    </div>
  );
}
