// A newer app never takes over by itself: it waits until it is asked, and until nothing is being recorded.
import * as state from "../state";

let asked = false;

export function watchUpdates(): void {
  const workers = navigator.serviceWorker;
  if (!workers) return;
  workers.addEventListener("controllerchange", () => {
    if (asked) reloadWhenFree();
  });
  void workers.register("/sw.js", { updateViaCache: "none" }).then((registration) => {
    offer(registration);
    registration.addEventListener("updatefound", () => {
      registration.installing?.addEventListener("statechange", () => offer(registration));
    });
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") void registration.update().catch(() => undefined);
    });
  }).catch((problem: unknown) => {
    console.warn("no service worker", problem);
  });
  void workers.ready.then((registration) => registration.active?.postMessage("fetch heavy"));
}

function offer(registration: ServiceWorkerRegistration): void {
  if (registration.waiting && registration.active) state.update.value = registration.waiting;
}

/** Let the newer app take over, if nothing is being recorded or gone through. */
export function takeOver(): void {
  if (state.stage.value !== "ready" || state.inLine.value > 0) return;
  asked = true;
  state.update.value?.postMessage("take over");
}

function reloadWhenFree(): void {
  if (state.stage.value === "ready" && state.inLine.value === 0) location.reload();
  else setTimeout(reloadWhenFree, 500);
}
