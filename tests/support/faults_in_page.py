"""Faults of a browser's own parts, put into the real parts by a script that runs before the app.

Each is off until `window.fault` names it, and says how often it has struck in `window.struck`.
"""

_COUNT = """
  window.struck ??= 0;
  const strikes = (name) => {
    if (window.fault !== name) return false;
    window.struck += 1;
    return true;
  };
"""

# The commit fails: every request has succeeded, and the transaction is then aborted, as on a failing medium.
ABORT_AT_COMMIT = (
    "{"
    + _COUNT
    + """
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (...given) {
    const request = put.apply(this, given);
    if (strikes("abort")) request.addEventListener("success", () => this.transaction.abort());
    return request;
  };
}"""
)

# The connection was killed in the background: the handle is there, and each use of it fails.
DEAD_HANDLE = (
    "{"
    + _COUNT
    + """
  const transaction = IDBDatabase.prototype.transaction;
  const dead = new WeakSet();
  IDBDatabase.prototype.transaction = function (...given) {
    if (strikes("dead handle")) {
      window.fault = "";
      dead.add(this);
    }
    if (dead.has(this)) throw new DOMException("Connection to the database was lost", "UnknownError");
    return transaction.apply(this, given);
  };
}"""
)

# Making the tables takes long enough for the battery to run out in the middle of it.
SLOW_TABLES = """{
  const create = IDBDatabase.prototype.createObjectStore;
  let made = 0;
  IDBDatabase.prototype.createObjectStore = function (...given) {
    const table = create.apply(this, given);
    made += 1;
    console.error(`tables made: ${made}`);
    const end = Date.now() + 4000;
    while (Date.now() < end);
    return table;
  };
}"""

# Whether headless Chromium grants Background Sync or not, each asking for it is written down.
COUNTED_KNOCKS = """{
  window.knocks = [];
  const register = SyncManager.prototype.register;
  SyncManager.prototype.register = function (tag) {
    window.knocks.push(tag);
    return register.call(this, tag);
  };
}"""

NO_BACKGROUND_SYNC = "delete window.SyncManager; delete ServiceWorkerRegistration.prototype.sync;"

NO_WAKE_LOCK = "Object.defineProperty(Navigator.prototype, 'wakeLock', { get: () => undefined });"

REFUSED_WAKE_LOCK = """{
  window.struck = 0;
  WakeLock.prototype.request = () => {
    window.struck += 1;
    return Promise.reject(new DOMException("not now", "NotAllowedError"));
  };
}"""

COUNTED_MICROPHONE = """{
  window.opened = 0;
  window.tracks = [];
  const open = MediaDevices.prototype.getUserMedia;
  MediaDevices.prototype.getUserMedia = async function (...given) {
    window.opened += 1;
    const stream = await open.apply(this, given);
    window.tracks.push(...stream.getAudioTracks());
    return stream;
  };
}"""
