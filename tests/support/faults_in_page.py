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

# A microphone of our own making, in which a word can be put at a known moment: `wordThenTouch(ms)` lets it
# sound briefly, and touches the sheet so many milliseconds after; the page can do nothing in between.
OWN_MICROPHONE = """{
  window.tracks = [];
  let room;
  const made = () => {
    const context = new AudioContext({ sampleRate: 48000 });
    const into = context.createMediaStreamDestination();
    const word = new GainNode(context, { gain: 0 });
    const hum = new GainNode(context, { gain: 0.01 });
    for (const [hertz, through] of [[1000, word], [100, hum]]) {
      const source = new OscillatorNode(context, { frequency: hertz });
      source.connect(through).connect(into);
      source.start();
    }
    return { context, into, word };
  };
  MediaDevices.prototype.getUserMedia = async () => {
    room ??= made();
    const stream = room.into.stream.clone();
    window.tracks.push(...stream.getAudioTracks());
    return stream;
  };
  window.speakFor = (seconds) => {
    const at = room.context.currentTime;
    room.word.gain.setValueAtTime(0.8, at);
    room.word.gain.setValueAtTime(0, at + seconds);
  };
  window.wordThenTouch = (ms) => {
    room ??= made();
    const at = room.context.currentTime + 0.02;
    room.word.gain.setValueAtTime(0.8, at);
    room.word.gain.setValueAtTime(0, at + 0.08);
    const touchAt = performance.now() + ms;
    while (performance.now() < touchAt);
    const touch = new PointerEvent("pointerdown", { button: 0, bubbles: true });
    document.querySelector("[data-record]").dispatchEvent(touch);
    return true;
  };
}"""


def hasty(millis):
    """Timers of just so many milliseconds, which nobody waits for in a test, end soon."""
    return f"""{{
  const set = window.setTimeout;
  window.setTimeout = (work, ms, ...given) => set(work, ms === {millis} ? 300 : ms, ...given);
}}"""


COUNTED_WAKE_LOCKS = """{
  window.locks = [];
  const request = WakeLock.prototype.request;
  WakeLock.prototype.request = async function (...given) {
    const lock = await request.apply(this, given);
    window.locks.push(lock);
    return lock;
  };
}"""

# A voice that begins to speak and does not come to an end; `began` is true once it speaks.
ENDLESS_VOICE = """
  window.began = false;
  SpeechSynthesis.prototype.speak = (words) => {
    setTimeout(() => { words.onstart?.(); window.began = true; }, 0);
  };
"""

# What a headset's button would call, and what plays.
KEPT_PRESSES = """{
  window.presses = {};
  const set = MediaSession.prototype.setActionHandler;
  MediaSession.prototype.setActionHandler = function (name, act) {
    set.call(this, name, act);
    window.presses[name] = act;
  };
  const play = HTMLMediaElement.prototype.play;
  HTMLMediaElement.prototype.play = function () {
    window.playing = this;
    return play.call(this);
  };
}"""
