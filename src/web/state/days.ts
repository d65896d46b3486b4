const DAY_MS = 86_400_000;

/** A day as it is said: "Wed 25 Nov". */
export function plainDay(iso: string): string {
  const day = new Date(iso);
  return Number.isNaN(day.getTime()) ? iso : day.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" });
}

/** How long ago, to the day; the time where it was today. */
export function since(iso: string, now = new Date()): string {
  const then = new Date(iso);
  const midnight = (date: Date): number => new Date(date.getFullYear(), date.getMonth(), date.getDate()).getTime();
  const days = Math.round((midnight(now) - midnight(then)) / DAY_MS);
  if (days <= 0) return `today ${then.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" })}`;
  if (days === 1) return "yesterday";
  return days < 14 ? `${days} days ago` : `${Math.round(days / 7)} weeks ago`;
}
