// Phones: a code to bring one in, those that are paired, how wrong their clocks are, and putting one out.
import "./phones.css";
import { useEffect, useState } from "preact/hooks";
import { ask, get, whyNot } from "./ask";
import { whenTold } from "./dates";
import { useKeys } from "./keys";
import { Voices } from "./voices";

interface Phone {
  device: string;
  name: string;
  paired: string;
  last_seen: string | null;
  skew_ms: number | null;
  revoked: string | null;
}

interface Invitation {
  code: string;
  url: string;
  seconds: number;
  tries: number;
  qr_svg: string;
}

const NOTICEABLE_MS = 2000;

export function Phones() {
  const [phones, setPhones] = useState<Phone[] | null>(null);
  const [invited, setInvited] = useState<Invitation | null>(null);
  const [wrong, setWrong] = useState("");
  const look = (): void => void get<{ phones: Phone[] }>("/api/phones").then((told) => setPhones(told.phones), (problem) => setWrong(whyNot(problem)));
  useEffect(look, []);
  const invite = (): void => {
    setWrong("");
    ask<Invitation>("POST", "/api/pairings").then(setInvited, (problem) => setWrong(whyNot(problem)));
  };
  useKeys("Phones", [{ key: "o", does: "open a code for a phone", act: invite }, { key: "l", does: "look again who is here", act: look }]);
  return (
    <div class="leaf">
      <h1>Phones of this shop</h1>
      <p class="wrong" role="alert">{wrong}</p>
      <section class="slip">
        <h2>Bring a phone in</h2>
        {location.protocol === "http:" && <p>A phone reaches this computer only while it runs <code>plytally serve --lan</code>.</p>}
        <button class="chief" onClick={invite}>Open a code <kbd>o</kbd></button>
        {invited && <Code invited={invited} />}
      </section>
      <section class="slip">
        <h2>Paired</h2>
        {phones?.length === 0 && <p>No phone is paired yet. Open a code above, scan it with the phone, and follow its page.</p>}
        <ul class="phones">{phones?.map((phone) => <One key={phone.device} phone={phone} done={look} failed={setWrong} />)}</ul>
      </section>
      <Voices failed={setWrong} />
    </div>
  );
}

function Code({ invited }: { invited: Invitation }) {
  const [url, setUrl] = useState("");
  useEffect(() => {
    const whole = invited.qr_svg.replace(/^<svg(?! xmlns)/, '<svg xmlns="http://www.w3.org/2000/svg"');
    const made = URL.createObjectURL(new Blob([whole], { type: "image/svg+xml" }));
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [invited]);
  return (
    <div class="invitation" role="status">
      {url && <img src={url} alt="code to scan; the same stands beside it in letters" width="220" height="220" />}
      <div>
        <p class="codeword">{invited.code}</p>
        <p>Good for {Math.floor(invited.seconds / 60)} minutes, {invited.tries} tries and one phone. Or open there:</p>
        <p><code>{invited.url}</code></p>
        <p class="small">The phone compares the certificate's fingerprint with the one in its own settings: that keeps a stranger on the network out.</p>
      </div>
    </div>
  );
}

function One({ phone, done, failed }: { phone: Phone; done(): void; failed(why: string): void }) {
  const [sure, setSure] = useState(false);
  const revoke = (): void => {
    ask<null>("DELETE", `/api/phones/${encodeURIComponent(phone.device)}`).then(done, (problem) => failed(whyNot(problem)));
    setSure(false);
  };
  return (
    <li>
      <p><b>{phone.name}</b> <span class="small">{phone.device}</span></p>
      <p class="small">
        Paired {whenTold(phone.paired)}; {phone.revoked ? `put out ${whenTold(phone.revoked)}` : `last here ${phone.last_seen ? whenTold(phone.last_seen) : "never"}`}
        {Math.abs(phone.skew_ms ?? 0) > NOTICEABLE_MS && `; its clock is ${((phone.skew_ms ?? 0) / 1000).toFixed(1)} s off`}
      </p>
      {!phone.revoked && !sure && <button onClick={() => setSure(true)}>Put it out</button>}
      {sure && (
        <div class="row" role="group" aria-label={`Put ${phone.name} out?`}>
          <button class="chief" onClick={revoke}>Yes, it gets nothing more</button>
          <button onClick={() => setSure(false)}>Keep it</button>
        </div>
      )}
    </li>
  );
}
