// A speech model's archive on this phone: pieces, each compared with its hash before it is kept.
const CACHE = "plytally-model";
const at = (path: string, number: number): string => `${path}?piece=${number}`;

export const archiveOf = (address: string): string => `/model/${address}.tar.gz`;

export async function hasPiece(path: string, number: number): Promise<boolean> {
  return (await (await caches.open(CACHE)).match(at(path, number))) !== undefined;
}

export async function keepPiece(path: string, number: number, bytes: ArrayBuffer): Promise<void> {
  await (await caches.open(CACHE)).put(at(path, number), new Response(bytes));
}

/** Let go what is here of other archives. */
export async function dropOthers(path: string): Promise<void> {
  const cache = await caches.open(CACHE);
  for (const request of await cache.keys()) if (new URL(request.url).pathname !== path) await cache.delete(request);
}

export async function dropPieces(): Promise<void> {
  await caches.delete(CACHE);
}

/** The archive as one answer, piece after piece; 404 where there is none. */
export async function wholeModel(path: string): Promise<Response> {
  const cache = await caches.open(CACHE);
  if (!(await cache.match(at(path, 0)))) return new Response(null, { status: 404 });
  let number = 0;
  const body = new ReadableStream<Uint8Array>({
    pull: async (out) => {
      const piece = await cache.match(at(path, number++));
      if (piece) out.enqueue(new Uint8Array(await piece.arrayBuffer()));
      else out.close();
    },
  });
  return new Response(body, { headers: { "Content-Type": "application/gzip" } });
}
