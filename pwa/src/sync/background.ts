// Background Sync, where the browser has it: a knock at the service worker when the network is back. It is never
// relied on: what waits is told by the operations alone, and every other way to sync stays.
const TAG = "plytally-outbox";

interface WithSync extends ServiceWorkerRegistration {
  readonly sync?: { register(tag: string): Promise<void> };
}

/** Ask for a knock whenever the page goes out of sight while something waits. */
export function knockWhenAway(waits: () => boolean): void {
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden" && waits()) void askForKnock();
  });
}

/** Ask for a knock; a browser that has none, or that does not allow it, changes nothing. */
export async function askForKnock(): Promise<void> {
  try {
    const registration = (await navigator.serviceWorker?.getRegistration()) as WithSync | undefined;
    if (registration?.active) await registration.sync?.register(TAG);
  } catch {
    // not allowed here: the page syncs by itself
  }
}
