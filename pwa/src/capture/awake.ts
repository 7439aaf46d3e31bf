// Keeps the screen on while someone works; asked for again whenever the page comes back.
let wanted = false;
let lock: WakeLockSentinel | undefined;

export function keepAwake(on: boolean): void {
  wanted = on;
  void renew();
}

async function renew(): Promise<void> {
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

document.addEventListener("visibilitychange", () => void renew());
