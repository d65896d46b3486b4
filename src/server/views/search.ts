import type { HitView } from "../../api/index.ts";
import { type Book, type HitPlace, searchBook } from "../../book/index.ts";
import { keptAnalysisOf } from "../../desk/index.ts";

/** Where a person looks at what was found there. */
const STATION_OF: Readonly<Record<HitPlace, string>> = {
  job: "intake",
  vehicle: "intake",
  complaint: "intake",
  note: "intake",
  reading: "reading",
  part: "handover",
  time: "handover",
  wait: "intake",
  test: "diagnosis",
  answer: "inspection",
  decision: "change-sheet",
  revision: "change-sheet",
  file: "recordings",
  recording: "recordings",
  table: "inspection",
  finding: "inspection",
  suspect: "diagnosis",
};

/** What people wrote and decided goes before what files are called. */
const LAST: ReadonlySet<HitPlace> = new Set(["recording", "table", "file"]);

const MOST_HITS = 60;

/** Lines of all jobs that hold every word; the analyses at hand are searched, none is made. */
export function searchView(book: Book, words: string): readonly HitView[] {
  const found = searchBook(book, words, (slug) => keptAnalysisOf(book, slug)?.result);
  const said = found.filter((hit) => !LAST.has(hit.place));
  const named = found.filter((hit) => LAST.has(hit.place));
  return [...said, ...named].slice(0, MOST_HITS).map((hit) => ({ ...hit, station: STATION_OF[hit.place] }));
}
