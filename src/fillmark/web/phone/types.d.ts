// What the scripts read: the facts that a page tells (web/phone/facts.py), and entries as a phone keeps them.
// For the checker alone; no page loads this.

/** An exact number: its digits, and how many of them stand behind the point. */
interface Decimal { digits: bigint; places: number }
/** A mass in a volume or in a piece, as a fraction of two whole numbers [mg]. */
interface Strength { of: bigint; in: bigint; unit: string; isPiece: boolean }
/** An amount that is known, or between two bounds [mL]. */
interface Amount { low: number; high: number }

type EntryKind =
  | "ate" | "batch_chosen" | "batch_made" | "both_given" | "bottle_opened" | "came_back" | "day_replanned" | "drank" | "effect_seen"
  | "feeding_cleared" | "feeding_locked" | "fill_given" | "flow_test" | "flush_given" | "food_kept" | "meal_ended"
  | "medicine_given" | "note" | "photo_taken" | "second_check" | "session_ended" | "session_paused" | "session_resumed"
  | "session_skipped" | "session_started" | "session_stopped" | "session_taken" | "sheet_printed" | "sheet_thrown_away" | "step_done"
  | "step_skipped" | "stock_counted" | "strength_confirmed" | "trouble_seen" | "weight" | "withdrawn" | "cannot_be_read";

/** What an entry says, by its kind; which fields each has stands in core/record. */
interface Payload { kind: EntryKind; [field: string]: any }

type Role = "lead" | "helper" | "sitter";

/** One entry as a phone keeps it; without a number of the record while it waits here. */
interface Entry {
  id: string;
  animal: string;
  seq: number | null;
  /** [ms since 1970] */
  at: number;
  day: string;
  session: string | null;
  payload: Payload;
  corrects: string | null;
  by: string;
  byName: string;
  /** none where an earlier version of the scripts has kept it */
  byRole?: Role;
  told: string;
}

/** `until` is the last day of use where the page tells it; of a bottle opened since, it is read from its label. */
interface Bottle { id: string; at: number; strength: string; byName: string; until?: string | null }
interface MedicineFacts {
  id: string;
  name: string;
  form: string;
  strength: string | null;
  whenNeeded: boolean;
  bottle: Bottle | null;
}
interface Limits {
  unfinishedMinutes: number;
  staysNextMinutes: number;
  clockMinutes: number;
  freshSeconds: number;
  keptDays: number;
  aheadDays: number;
  photoSidePx: number;
}
interface BatchBounds {
  entries: Entry[];
  levelStartsMl: number[];
  limitLevel: number | null;
  keepsDays: number | null;
  dayStarts: string;
}
interface StepFacts {
  id: string;
  fill: number | null;
  ml?: number | null;
  medicine: string | null;
  seconds: number | null;
  drawn: Drawn | null;
}
/** What a second person must read: so much by the lines of the syringe, or so many pieces. */
/** What a second person read. */
interface Reading { ml?: number | string; pieces?: string; [field: string]: any }
interface Drawn { ml?: string; step_ml?: string; pieces?: string; piece?: string }
interface SessionFacts { key: string; at: number; mealMl: number | null }

// The gate of an act: what the plan says of meals and doses (web/phone/act_facts.py), and what is found.
interface FeedFacts {
  gapMinutes: number;
  gapWords: string;
  gapAsk: string;
  mostMl: number | null;
  weightKg: number;
  waterMl: { [medicine: string]: number };
  beforeFood: { [medicine: string]: number };
  mealsADay: number;
  dayMinutes: number;
}
interface Rhythm { fromOn: string | null; gapMinutes: number; most: number | null; mostMinutes: number | null }
interface DoseRules {
  name: string;
  held: string | null;
  startOn: string | null;
  stopOn: string | null;
  rhythms: Rhythm[];
  apart: { [medicine: string]: number };
  afterFood: number | null;
  secondCheck: boolean;
  drawn: Drawn | null;
  isByTube: boolean;
  ordered?: OrderedDose;
}
/** What one dose is by the order of a day, and to what it is drawn. */
interface OrderedDose { mg?: string; ml?: string }
/** When a dose changes how it stands [minutes from its session; in `dueOf` ms since 1970]. */
interface DueDose {
  following?: number;
  earlyUntil: number;
  dueUntil: number;
  askAfter?: number;
  tooLateAfter?: number;
  tooCloseAfter?: number;
  drawn?: Drawn | null;
  ordered?: OrderedDose;
}
interface SessionRules {
  at: number;
  mealMl: number;
  marks?: number[];
  totalMl: number;
  mostMl?: number | null;
  overCap?: { text: string; weight: Weight };
  doses: { [medicine: string]: DueDose };
  held?: string[];
  shut?: string[];
}
/** A dose that is due, and of which nobody has written what became. */
interface OpenDose { session: string; time: string; medicine: string; name: string; isHeld: boolean; until: number | null }
interface ActFacts {
  feed: FeedFacts;
  doses: { [medicine: string]: DoseRules };
  sessions: { [session: string]: SessionRules };
  lateHours: number;
  checkMinutes: number;
  mealTimes: number;
  keepsAs: { [kind: string]: { days?: number; months?: number } };
}
type Weight = "refused" | "needs a word of the vet" | "asked" | "said";
interface Finding { code: string; weight: Weight; text: string; freeAt: number | null; despite: string[]; about: string }
/** What a press would write, when, by whom, and for which of the household's days. */
interface Act { payload: Payload; at: number; by: string; day: string }

/** The facts of a page. A page of one kind tells more than another: what only some tell may be missing. */
interface Facts {
  me: string;
  myName: string;
  myRole: Role;
  mayClear: boolean;
  animal: string;
  zone: string;
  dayStarts: string;
  seq: number;
  limits: Limits;
  medicines?: MedicineFacts[];
  locks?: { id: string }[];
  sessions: SessionFacts[];
  days: { from: number; until: number }[];
  acts?: ActFacts | null;
  /** Where the table of the gate stands, on a page that loads it later. */
  actsAt?: string;
  usesTube: boolean;
  planSince?: number | null;
  here: string | null;
  newTime: string | null;
  undoable: string[];
  replanned?: Entry[];
  hereAt: number | null;
  mealMl: number;
  batches: BatchBounds | null;
  steps: StepFacts[];
}

type Standing = "ended" | "in hand" | "paused" | "stopped" | "skipped" | "not known" | "no entry";
interface Clash { what: string; ids: string[] }
interface DoseRecord { medicine: string; outcome: string; byName: string; at: number; times: number }
/** What the entries of one session add up to; see core/record/sessions.py. */
interface SessionRecord {
  session: string;
  standing: Standing;
  reason?: string | null;
  blend: Amount | null;
  flush: Amount | null;
  back: Amount | null;
  fills: { number: number; amount: Amount }[];
  doses: DoseRecord[];
  clashes: Clash[];
  startedByName?: string;
  startedAt?: number;
  heldBy?: string;
  heldByName?: string;
  lastAt?: number;
  lastByName?: string;
  stepsDone: string[];
  stepsSkipped: string[];
}
interface SessionView {
  key: string;
  time: string;
  planned: (SessionFacts & { time: string }) | null;
  record: SessionRecord;
}
interface BatchRead { label: string; madeOn: string; lastOn: string | null; faults: string[] }

/** What waits on this phone, or was asked about. */
interface QueueItem {
  id: string;
  by: string;
  state: "waiting" | "asked" | "refused";
  isFresh: boolean;
  pressedAt: number;
  entry: { payload: Payload; [field: string]: any };
  shown: Entry;
  code?: string;
  message?: string;
  despite?: string[];
}
interface QueuedPhoto {
  id: string;
  animal: string;
  by: string;
  byName: string;
  state: "waiting" | "refused";
  blob: Blob;
  message?: string;
}

/** What a form says: the payloads, the photo that goes with them, and how each is said. */
type Say = (payload: Payload, names?: { [medicine: string]: string }) => string;
interface Read { payloads: Payload[]; photo: { blob: Blob; payload: Payload } | null; say: Say }
/** What of the phone and of the button goes into every entry of a press. */
interface Press {
  /** [ms since 1970] */
  at: number;
  zone: string;
  device: string;
  corrects: string | null;
  isAgain: boolean;
  told: (payload: Payload) => string;
}

/** A place in a fact where a person types, chooses or ticks; declared by web/entry_form.py. */
interface Place { typed: string[]; as: string; field: string; [limit: string]: any }
interface Known { bottles?: { [medicine: string]: string }; locks?: string[]; today?: string; entries?: Entry[] }
/** The fields of a form with what they say. */
interface Typed { [name: string]: string }

// A part of a page that its template always has: a page without it is a defect that its tests find.
interface ParentNode {
  querySelector(selectors: string): any;
  querySelectorAll(selectors: string): NodeListOf<any>;
}
interface Document { getElementById(id: string): any }
interface Event { readonly detail?: any }
interface Array<T> {
  at(place: number): any; // where the last one is asked for, there is one
  findLast(holds: (one: T, place: number) => unknown): T | undefined;
  findLastIndex(holds: (one: T, place: number) => unknown): number;
}
interface Navigator {
  readonly connection?: { saveData?: boolean };
  readonly wakeLock: { request(what: "screen"): Promise<unknown> };
}

// What the server writes above the worker (web/phone/views.py), and what a worker has besides a page.
declare const VERSION: string;
declare const PARTS: string[];
declare const OLD_PAGES: [was: string, is: string][];
declare const OLD_FILES: { [was: string]: string };
declare const clients: { claim(): Promise<void> };
declare function skipWaiting(): Promise<void>;
