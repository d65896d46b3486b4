import { join } from "node:path";
import type { GuideView, HeardView, WatchView } from "../api/index.ts";
import type { RecordingContext } from "../formats/index.ts";
import { type Axes, addDwell, addVisits, type Place } from "./dwell.ts";
import { fileIn, follower, type Heard, recordingsIn } from "./follow.ts";
import { numbers } from "./views/analysis.ts";

/** A file that grew within this is not left for another [ms]. */
const STAYS_MS = 5000;
const NO_FILE: Omit<HeardView, "dwellS" | "visitS"> = {
  file: "",
  rows: 0,
  rpm: null,
  kpa: null,
  stillS: 0,
  says: "Waiting for a recording to be begun in the folder.",
};

/** What one file of the drive added. A file that is written anew from its start is counted anew. */
interface Share {
  readonly look: () => Heard;
  dwellS: Float64Array;
  visitS: Float64Array;
}

export interface DriveListener {
  look(nowMs: number): HeardView;
}

/**
 * Follows a drive through the file or files that a logger writes of it: in bursts, with a line half written, rotated under the same
 * name or under new ones. Without a file named, whatever grows from now on is followed; what lay there before is another drive's.
 */
export function listenToDrive(given: {
  readonly folder: () => string | undefined;
  readonly file: string | undefined;
  readonly reading: RecordingContext;
  readonly guide: GuideView | null;
}): DriveListener {
  const { file, reading, guide } = given;
  const axes: Axes = guide ?? { rpm: [0], kpa: [0] };
  const visits = guide?.visits ?? [];
  const [cells, regions] = [axes.rpm.length * axes.kpa.length, visits.length];
  const shares = new Map<string, Share>();
  // What rotated files held before their name was given to the next one.
  const kept = { dwellS: new Float64Array(cells), visitS: new Float64Array(regions) };
  let lay: ReadonlyMap<string, number> | undefined;
  let following = { path: "", name: "", rows: 0, grewMs: Number.NEGATIVE_INFINITY };
  let place: Place | undefined;

  const countsWith = (): Pick<HeardView, "dwellS" | "visitS"> => {
    const sum = (of: (share: { dwellS: Float64Array; visitS: Float64Array }) => Float64Array): Float64Array => {
      const total = Float64Array.from(of(kept));
      for (const share of shares.values()) addTo(total, of(share));
      return total;
    };
    return { dwellS: numbers(sum((share) => share.dwellS)), visitS: [...sum((share) => share.visitS)] };
  };
  const add = (share: Share, heard: Heard): void => {
    if (heard.begun === "next") {
      addTo(kept.dwellS, share.dwellS);
      addTo(kept.visitS, share.visitS);
    }
    if (heard.begun !== undefined) [share.dwellS, share.visitS] = [new Float64Array(cells), new Float64Array(regions)];
    addDwell(share.dwellS, axes, heard.places);
    addVisits(share.visitS, visits, axes, heard.places);
    place = heard.places.at(-1) ?? place;
  };
  /** The file to look into now: the one named, else the newest that grew; one that still grows is stayed with. */
  const chosen = (folder: string, nowMs: number): string | undefined => {
    if (file !== undefined) return file;
    const files = recordingsIn(folder);
    lay ??= new Map(files.map(({ name, bytes }) => [name, bytes]));
    const isStaying = nowMs - following.grewMs < STAYS_MS && files.some(({ name }) => name === following.name);
    if (following.name !== "" && isStaying) return following.name;
    return (files.find((one) => isOfThisDrive(one, lay!)) ?? files.find(({ name }) => name === following.name))?.name;
  };
  return {
    look(nowMs) {
      const folder = given.folder();
      if (folder === undefined) return { ...NO_FILE, ...countsWith() };
      const name = chosen(folder, nowMs);
      if (name === undefined) return { ...NO_FILE, ...countsWith() };
      let says: string | undefined;
      try {
        const path = fileIn(folder, name);
        let share = shares.get(path);
        if (share === undefined) {
          share = { look: follower(path, reading), dwellS: new Float64Array(cells), visitS: new Float64Array(regions) };
          shares.set(path, share);
        }
        const heard = share.look();
        says = heard.says;
        add(share, heard);
        const grew = path !== following.path || heard.places.length > 0 || heard.rows !== following.rows;
        following = { path, name, rows: heard.rows, grewMs: grew ? nowMs : following.grewMs };
      } catch (error) {
        // Between two files of a rotation there may be none of that name: the counts stay.
        says = error instanceof Error ? error.message : String(error);
        following = { ...following, path: join(folder, name), name };
      }
      const [rpm, kpa] = numbers([place?.rpm ?? Number.NaN, place?.kpa ?? Number.NaN]) as [number | null, number | null];
      const stillS = Number.isFinite(following.grewMs) ? Math.round((nowMs - following.grewMs) / 1000) : 0;
      return { file: name, rows: following.rows, rpm, kpa, stillS, ...countsWith(), ...(says === undefined ? {} : { says }) };
    },
  };
}

/** Grown, or begun, since the listening began. A file that shrank was begun anew. */
function isOfThisDrive({ name, bytes }: WatchView["files"][number], lay: ReadonlyMap<string, number>): boolean {
  return lay.get(name) !== bytes;
}

function addTo(sum: Float64Array, more: Float64Array): void {
  for (let i = 0; i < sum.length; i++) sum[i]! += more[i]!;
}
