import type { GuideView, HeardView, VisitView } from "../../api/index.ts";

/** What brings the engine into a region, in few words; read out, never typed. */
export function whatToDo(visit: VisitView, heard: Pick<HeardView, "rpm" | "kpa"> | undefined, guide: Pick<GuideView, "kpa">): string {
  if (heard === undefined || heard.rpm === null || heard.kpa === null) return "Waiting for the recording.";
  const [low, high] = reach(visit, guide.kpa);
  const wants: string[] = [];
  if (heard.rpm < visit.fromRpm) wants.push(`${rounded(visit.fromRpm - heard.rpm)} rpm more`);
  if (heard.rpm >= visit.toRpm) wants.push(`${rounded(heard.rpm - visit.toRpm)} rpm less`);
  if (heard.kpa < low) wants.push("more load");
  if (heard.kpa >= high) wants.push("less load");
  return wants.length === 0 ? "Hold it there." : capital(`${wants.join(", ")}.`);
}

/** Longer than a logger that writes in bursts keeps silent [s]. */
const SILENT_S = 8;

/** The one line that is looked at while driving: what to do, or what keeps the page from knowing. */
export function sayNow(visit: VisitView, heard: HeardView | undefined, guide: Pick<GuideView, "kpa">, isLost: boolean): string {
  if (isLost) return "The bench does not answer.";
  if (heard?.says !== undefined) return heard.says;
  if (heard !== undefined && heard.stillS >= SILENT_S) return `Nothing new for ${heard.stillS} s. Does the logger still write?`;
  return whatToDo(visit, heard, guide);
}

/** Cells reach half-way to their neighbours, as the seconds are counted. */
function reach(visit: VisitView, kpa: readonly number[]): readonly [number, number] {
  const below = kpa.filter((value) => value < visit.fromKpa).at(-1);
  const above = kpa.find((value) => value > visit.toKpa);
  return [below === undefined ? 0 : (below + visit.fromKpa) / 2, above === undefined ? Number.POSITIVE_INFINITY : (above + visit.toKpa) / 2];
}

function rounded(rpm: number): number {
  return Math.max(50, Math.round(rpm / 50) * 50);
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
