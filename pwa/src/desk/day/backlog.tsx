// How far the second hearing is: recordings that wait, counted down from the most that were seen on this visit.
import { useEffect, useState } from "preact/hooks";
import { get } from "../ask";
import { again, loadDays } from "./state";

const LOOK_EVERY_MS = 3000;
const LOOK_SELDOM_MS = 12_000;

interface Health {
  checks: { queues?: Record<string, unknown> };
}

export function Backlog() {
  const [most, setMost] = useState(0);
  const [waiting, setWaiting] = useState(0);
  useEffect(() => {
    let timer = 0;
    let before = 0;
    const look = async (): Promise<void> => {
      let soon = false;
      try {
        const { checks } = await get<Health>("/health");
        const now = Number(checks.queues?.["second_hearing"] ?? 0);
        setWaiting(now);
        setMost((highest) => (now === 0 ? 0 : Math.max(highest, now)));
        if (now < before) await Promise.all([again(), loadDays()]); // what was heard may have raised a doubt
        before = now;
        soon = now > 0;
      } catch {
        // asked again later; what the page itself asks says why there is no answer
      }
      if (timer >= 0) timer = window.setTimeout(() => void look(), soon ? LOOK_EVERY_MS : LOOK_SELDOM_MS);
    };
    void look();
    return () => {
      clearTimeout(timer);
      timer = -1;
    };
  }, []);
  if (waiting === 0) return null;
  return (
    <p class="small backlog" role="status">
      {waiting === 1 ? "One recording waits" : `${waiting} recordings wait`} to be heard a second time.
      <progress aria-label="second hearing" value={most - waiting} max={most} />
    </p>
  );
}
