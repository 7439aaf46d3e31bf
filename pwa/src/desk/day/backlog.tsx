// How far the second hearing is: recordings that wait, counted down from the most that were seen on this visit.
import { useEffect, useState } from "preact/hooks";
import { get } from "../ask";

const LOOK_EVERY_MS = 4000;

interface Health {
  checks: { queues?: Record<string, unknown> };
}

export function Backlog() {
  const [most, setMost] = useState(0);
  const [waiting, setWaiting] = useState(0);
  useEffect(() => {
    let timer = 0;
    const look = async (): Promise<void> => {
      try {
        const { checks } = await get<Health>("/health");
        const now = Number(checks.queues?.["second_hearing"] ?? 0);
        setWaiting(now);
        setMost((before) => Math.max(before, now));
        if (now > 0) timer = window.setTimeout(() => void look(), LOOK_EVERY_MS);
      } catch {
        timer = window.setTimeout(() => void look(), LOOK_EVERY_MS * 4);
      }
    };
    void look();
    return () => clearTimeout(timer);
  }, []);
  if (waiting === 0) return null;
  return (
    <p class="small backlog">
      {waiting === 1 ? "One recording waits" : `${waiting} recordings wait`} to be heard a second time.
      <progress aria-label="second hearing" value={most - waiting} max={most} />
    </p>
  );
}
