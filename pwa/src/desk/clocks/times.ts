// Instants as the wall of the device showed them.

/** "2026-03-21T09:41" of an instant, at so many minutes ahead of UTC. */
export const wallAt = (millis: number, offsetMin: number): string => new Date(millis + offsetMin * 60_000).toISOString().slice(0, 16);
