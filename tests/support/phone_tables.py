"""What lies in a phone's IndexedDB, read past the app; and what an earlier visit may have left there."""

# Opening a database that is not there would make an empty one: then the opening is taken back.
OPENED = """
  const opened = () => new Promise((done, fail) => {
    const opening = indexedDB.open("plytally");
    opening.onupgradeneeded = () => opening.transaction.abort();
    opening.onerror = () => opening.error.name === "AbortError" ? done(null) : fail(opening.error);
    opening.onsuccess = () => done(opening.result);
  });
  const all = (request) => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const pieces = (db, id) =>
    all(db.transaction("pieces").objectStore("pieces").getAll(IDBKeyRange.bound([id, 0], [id, 1e6])));
  const changed = (db, change) => new Promise((done, fail) => {
    const tx = db.transaction("facts", "readwrite");
    change(tx.objectStore("facts"));
    tx.oncomplete = done;
    tx.onabort = () => fail(tx.error);
  });
"""

ROWS = (
    """async (table) => {"""
    + OPENED
    + """
  const db = await opened();
  if (!db || !db.objectStoreNames.contains(table)) { db?.close(); return []; }
  const rows = await all(db.transaction(table).objectStore(table).getAll());
  db.close();
  return JSON.parse(JSON.stringify(rows));
}"""
)

FACT = (
    """async (name) => {"""
    + OPENED
    + """
  const db = await opened();
  const value = await all(db.transaction("facts").objectStore("facts").get(name));
  db.close();
  return value ?? null;
}"""
)

SET_FACT = (
    """async ([name, value]) => {"""
    + OPENED
    + """
  const db = await opened();
  await changed(db, (facts) => (value === null ? facts.delete(name) : facts.put(value, name)));
  db.close();
}"""
)

BYTES = (
    """async (id) => {"""
    + OPENED
    + """
  const db = await opened();
  const found = await pieces(db, id);
  db.close();
  return found.reduce((sum, piece) => sum + piece.byteLength, 0);
}"""
)

SAMPLES = (
    """async (id) => {"""
    + OPENED
    + """
  const db = await opened();
  const found = await pieces(db, id);
  db.close();
  return found.flatMap((piece) => [...new Int16Array(piece)]);
}"""
)

HASHES = (
    """async () => {"""
    + OPENED
    + """
  const db = await opened();
  const media = await all(db.transaction("media").objectStore("media").getAll());
  const found = [];
  for (const { id } of media) {
    const digest = await crypto.subtle.digest("SHA-256", await new Blob(await pieces(db, id)).arrayBuffer());
    found.push([...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join(""));
  }
  db.close();
  return found;
}"""
)

MANY_NOTES = (
    """async (count) => {"""
    + OPENED
    + """
  const db = await opened();
  await changed(db, (facts) => {
    for (let at = 0; at < count; at++) {
      const id = `0000-${String(at).padStart(6, "0")}`;
      facts.put({ id, text: `note that this is number ${at}`, millis: Date.now() }, `written ${id}`);
    }
  });
  db.close();
}"""
)
