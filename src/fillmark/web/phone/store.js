// What this phone keeps: entries and photos that are not sent yet, the record of the last days, a few facts about them.
// Every write is on the disk before it counts ("strict"), so that an empty battery loses nothing.

const NAME = "fillmark";
let opened;

/** @type {() => Promise<IDBDatabase>} */
function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 2);
    asked.onupgradeneeded = ({ oldVersion }) => {
      const database = asked.result;
      if (oldVersion < 1) {
        database.createObjectStore("queue", { keyPath: "id" });
        database.createObjectStore("entries", { keyPath: "id" }).createIndex("animal", "animal");
        database.createObjectStore("meta", { keyPath: "key" });
      }
      database.createObjectStore("photos", { keyPath: "id" });
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => asked.result.close();
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

/** @type {(stores: string | string[], mode: IDBTransactionMode, work: (...stores: IDBObjectStore[]) => any) => Promise<any>} */
async function within(stores, mode, work) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(stores, mode, { durability: "strict" });
    /** @type {any} */
    let came;
    transaction.oncomplete = () => resolve(came?.result ?? came);
    transaction.onabort = () => reject(transaction.error);
    try {
      came = work(...[stores].flat().map((name) => transaction.objectStore(name)));
    } catch (fault) {
      transaction.abort();
      reject(fault);
    }
  });
}

/** @type {() => Promise<QueueItem[]>} */
export const queued = () => within("queue", "readonly", (queue) => queue.getAll());
/**
 * Put by what a press made, and the photos that go with it: all of it or nothing.
 * @type {(items: QueueItem[], photos?: QueuedPhoto[]) => Promise<void>}
 */
export const enqueue = (items, photos = []) =>
  within(["queue", "photos"], "readwrite", (queue, kept) => {
    items.forEach((item) => queue.put(item));
    photos.forEach((photo) => kept.put(photo));
  });
/** @type {(item: QueueItem) => Promise<void>} */
export const change = (item) => within("queue", "readwrite", (queue) => { queue.put(item); });
/**
 * Throw away what waits under this id, and its photo.
 * @type {(id: string) => Promise<void>}
 */
export const drop = (id) =>
  within(["queue", "photos"], "readwrite", (queue, photos) => {
    queue.delete(id);
    photos.delete(id);
  });

/**
 * What the household's machine has set aside waits here no longer; its photo does, which nothing names yet.
 * @type {(id: string) => Promise<void>}
 */
export const letGo = (id) => within("queue", "readwrite", (queue) => { queue.delete(id); });

/**
 * The photos that the household's machine does not have yet: each is sent after its entry.
 * @type {() => Promise<QueuedPhoto[]>}
 */
export const photosWaiting = () => within("photos", "readonly", (photos) => photos.getAll());
/** @type {(photo: QueuedPhoto) => Promise<void>} */
export const changePhoto = (photo) => within("photos", "readwrite", (photos) => { photos.put(photo); });
/** @type {(id: string) => Promise<void>} */
export const dropPhoto = (id) => within("photos", "readwrite", (photos) => { photos.delete(id); });

/** @type {(animal: string) => Promise<Entry[]>} */
export const recorded = (animal) => within("entries", "readonly", (entries) => entries.index("animal").getAll(animal));

/**
 * An acknowledged entry moves from the queue into the kept record, in one step: it is never in neither.
 * @type {(item: QueueItem, seq: number) => Promise<void>}
 */
export const acknowledge = (item, seq) =>
  within(["queue", "entries"], "readwrite", (queue, entries) => {
    entries.put({ ...item.shown, seq });
    queue.delete(item.id);
  });

/**
 * Take over what the record says is new; with `whole`, it is all that this phone keeps of it.
 * @type {(told: { entries: Entry[], seq: number, whole?: boolean, household: string, firstDay?: string }) => Promise<void>}
 */
export const keep = ({ entries, seq, whole, household, firstDay }) =>
  within(["entries", "meta"], "readwrite", (kept, meta) => {
    if (whole) kept.clear();
    entries.forEach((entry) => kept.put(entry));
    meta.put({ key: "seq", value: seq });
    meta.put({ key: "household", value: household });
    if (!firstDay) return;
    kept.openCursor().onsuccess = (event) => {
      const cursor = /** @type {any} */ (event.target).result;
      if (!cursor) return;
      if (cursor.value.day < firstDay) cursor.delete();
      cursor.continue();
    };
  });

/** @type {(key: string) => Promise<any>} */
export async function recall(key) {
  return (await within("meta", "readonly", (meta) => meta.get(key)))?.value;
}
/** @type {(key: string, value: unknown) => Promise<void>} */
export const note = (key, value) => within("meta", "readwrite", (meta) => { meta.put({ key, value }); });

/**
 * Forget the record and its pages, not what is unsent.
 * @type {() => Promise<void>}
 */
export const forget = () =>
  within(["entries", "meta"], "readwrite", (entries, meta) => {
    entries.clear();
    meta.clear();
  });
