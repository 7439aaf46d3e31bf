// Keeps the screen on while someone works: for ten minutes after each thing done, and as long as hands-free is
// on. Asked for again whenever the page comes back.
const AFTER_MS = 600_000;

let always = false;
let until: ReturnType<typeof setTimeout> | undefined;
let lock: WakeLockSentinel | undefined;
let renewing: Promise<void> = Promise.resolve();

/** Something was done at the bench. */
export function worked(): void {
  clearTimeout(until);
  until = setTimeout(() => {
    until = undefined;
    renew();
  }, AFTER_MS);
  renew();
}

/** Keep it on until this is taken back. */
export function keepAwake(on: boolean): void {
  always = on;
  renew();
}

/** One after the other, so that no lock is asked for twice and forgotten. */
function renew(): void {
  renewing = renewing.then(asWanted);
}

async function asWanted(): Promise<void> {
  const wanted = always || until !== undefined;
  try {
    if (wanted && document.visibilityState === "visible") {
      lock = lock && !lock.released ? lock : await navigator.wakeLock?.request("screen");
    } else {
      await lock?.release();
      lock = undefined;
    }
  } catch {
    lock = undefined; // not given: the screen may go dark, and recording goes on all the same
  }
}

document.addEventListener("visibilitychange", () => renew());
