// Who answers now, by the household's clock; see core/plan/vet.OpenHours.
const DAYS = ["sun", "mon", "tue", "wed", "thu", "fri", "sat"];

/**
 * Whether somebody answers on a day of the week (0 = Sunday) at a clock time; null where no hours are stated.
 * @type {(hours: [days: string[], opens: string, closes: string][], day: number, clock: string) => boolean | null}
 */
export function answers(hours, day, clock) {
  if (!hours.length) return null;
  return hours.some(([days, opens, closes]) => {
    if (opens < closes) return days.includes(DAYS[day]) && opens <= clock && clock < closes;
    const yesterday = DAYS[(day + 6) % 7];
    return (days.includes(DAYS[day]) && clock >= opens) || (days.includes(yesterday) && clock < closes);
  });
}

/**
 * The household's day of the week and clock time at an instant.
 * @type {(zone: string, at?: Date) => [day: number, clock: string]}
 */
export function localTime(zone, at = new Date()) {
  const parts = new Intl.DateTimeFormat("en-GB", { timeZone: zone, weekday: "short", hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const told = Object.fromEntries(parts.formatToParts(at).map(({ type, value }) => [type, value]));
  return [DAYS.indexOf(told.weekday.toLowerCase()), `${told.hour}:${told.minute}`];
}

/**
 * The numbers in the order in which they help: open, then without hours, then shut; a poison line below the clinics.
 * @type {<T extends { open: boolean | null, isPoison: boolean }>(numbers: T[]) => T[]}
 */
export function inOrder(numbers) {
  const rank = (/** @type {{ open: boolean | null, isPoison: boolean }} */ { open, isPoison }) => Number(isPoison) * 3 + (open === null ? 1 : open ? 0 : 2);
  return [...numbers].sort((one, other) => rank(one) - rank(other));
}
