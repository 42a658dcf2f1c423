// What this phone keeps: entries that are not sent yet, the record of the last days, and a few facts about both.
// Every write is on the disk before it counts ("strict"), so that an empty battery loses nothing.

const NAME = "fillmark";
let opened;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      const database = asked.result;
      database.createObjectStore("queue", { keyPath: "id" });
      database.createObjectStore("entries", { keyPath: "id" }).createIndex("animal", "animal");
      database.createObjectStore("meta", { keyPath: "key" });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function within(stores, mode, work) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(stores, mode, { durability: "strict" });
    let came;
    transaction.oncomplete = () => resolve(came?.result ?? came);
    transaction.onabort = () => reject(transaction.error);
    came = work(...[stores].flat().map((name) => transaction.objectStore(name)));
  });
}

export const queued = () => within("queue", "readonly", (queue) => queue.getAll());
export const enqueue = (items) => within("queue", "readwrite", (queue) => { items.forEach((item) => queue.put(item)); });
export const change = (item) => within("queue", "readwrite", (queue) => { queue.put(item); });
export const drop = (id) => within("queue", "readwrite", (queue) => { queue.delete(id); });

export const recorded = (animal) => within("entries", "readonly", (entries) => entries.index("animal").getAll(animal));

/** An acknowledged entry moves from the queue into the kept record, in one step: it is never in neither. */
export const acknowledge = (item, seq) =>
  within(["queue", "entries"], "readwrite", (queue, entries) => {
    entries.put({ ...item.shown, seq });
    queue.delete(item.id);
  });

/** Take over what the record says is new; with `whole`, it is all that this phone keeps of it. */
export const keep = ({ entries, seq, whole, household, firstDay }) =>
  within(["entries", "meta"], "readwrite", (kept, meta) => {
    if (whole) kept.clear();
    entries.forEach((entry) => kept.put(entry));
    meta.put({ key: "seq", value: seq });
    meta.put({ key: "household", value: household });
    if (!firstDay) return;
    kept.openCursor().onsuccess = (event) => {
      const cursor = event.target.result;
      if (!cursor) return;
      if (cursor.value.day < firstDay) cursor.delete();
      cursor.continue();
    };
  });

export async function recall(key) {
  return (await within("meta", "readonly", (meta) => meta.get(key)))?.value;
}
export const note = (key, value) => within("meta", "readwrite", (meta) => { meta.put({ key, value }); });

/** Forget the record and its pages, not what is unsent. */
export const forget = () =>
  within(["entries", "meta"], "readwrite", (entries, meta) => {
    entries.clear();
    meta.clear();
  });
