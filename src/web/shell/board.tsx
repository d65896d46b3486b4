import { useEffect, useMemo, useRef, useState } from "react";
import type { BoardView, HitView, JobCard, WaitView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { plainDay, since } from "../state/days.ts";
import { go, hrefOf } from "../state/route.ts";
import { applyTheme, themeChoice } from "../state/theme.ts";
import { BeginJob } from "./begin-job.tsx";
import { BookLine } from "./book-line.tsx";
import { useKeys } from "./keys.tsx";
import { Knots } from "./spine.tsx";
import { TopBar } from "./top-bar.tsx";

/** Where every job stands, what it waits for, and what comes next. */
export function Board({ board, refresh, change }: { board: BoardView | undefined; refresh: () => void; change: (which: "own" | "demo") => void }) {
  const [sought, setSought] = useState("");
  const [beginning, setBeginning] = useState(false);
  const search = useRef<HTMLInputElement>(null);
  const list = useRef<HTMLElement>(null);
  const hits = useHits(sought);
  const isDemo = board?.book.isDemo ?? false;
  const clear = (): void => setSought("");
  const step = (by: number) => (): void => moveFocus(list.current, by);
  useKeys({
    "/": () => search.current?.focus(),
    n: () => setBeginning(true),
    t: () => applyTheme(themeChoice() === "bay" ? "paper" : "bay"),
    d: () => board?.book.canChange && change(isDemo ? "own" : "demo"),
    ArrowDown: step(1),
    ArrowUp: step(-1),
    Escape: clear,
  });
  const sorted = useMemo(() => groupsOf(board?.jobs ?? []), [board]);
  if (board === undefined) return null;
  const isSearching = sought.trim() !== "";
  return (
    <div className="board">
      <TopBar title={board.shop === "" ? "Shop book" : board.shop} mark={isDemo ? "Demo" : undefined}>
        <label className="search">
          <span>Search everything</span>
          <input
            ref={search}
            type="search"
            value={sought}
            onChange={(event) => setSought(event.target.value)}
            onKeyDown={(event) => {
              if (event.key === "Escape") setSought("");
              if (event.key === "ArrowDown") moveFocus(list.current, 1);
            }}
            placeholder="part, note, finding, table"
          />
        </label>
        <button type="button" className="primary" onClick={() => setBeginning(true)}>
          Begin a job
        </button>
      </TopBar>
      <main ref={list}>
        <BookLine board={board} change={change} />
        {beginning && <BeginJob cancel={() => setBeginning(false)} begun={refresh} />}
        {isSearching ? (
          <Hits hits={hits} sought={sought} />
        ) : (
          <>
            {board.jobs.length === 0 && !beginning && board.book.making === undefined && <EmptyBook begin={() => setBeginning(true)} />}
            <JobList title="Can go on" jobs={sorted.ready} />
            <JobList title="Waiting" jobs={sorted.waiting} />
            <JobList title="Handed over" jobs={sorted.closed} />
          </>
        )}
      </main>
    </div>
  );
}

function isClosed(job: JobCard): boolean {
  return job.waits.length === 0 && job.stations.find((station) => station.id === "handover")?.state === "done";
}

/** What can go on by the time it was touched last; what waits by how soon it is expected. */
function groupsOf(jobs: readonly JobCard[]): { ready: readonly JobCard[]; waiting: readonly JobCard[]; closed: readonly JobCard[] } {
  const expected = (job: JobCard): string => job.waits[0]?.until || "9999";
  return {
    ready: jobs.filter((job) => job.waits.length === 0 && !isClosed(job)),
    waiting: jobs.filter((job) => job.waits.length > 0).sort((a, b) => (expected(a) < expected(b) ? -1 : 1)),
    closed: jobs.filter(isClosed),
  };
}

/** Moves the focus along the links of the board, so that a job is found without the pointer. */
function moveFocus(within: HTMLElement | null, by: number): void {
  const links = [...(within?.querySelectorAll<HTMLAnchorElement>("a[data-row]") ?? [])];
  if (links.length === 0) return;
  const at = links.indexOf(document.activeElement as HTMLAnchorElement);
  links[at < 0 ? 0 : Math.max(0, Math.min(links.length - 1, at + by))]!.focus();
}

/** What each station is for, before there is a job to see it on. */
const WAY: readonly (readonly [station: string, says: string])[] = [
  ["Intake", "the complaint, the engine's facts, the files, what the job waits for"],
  ["Reading", "how the calibration came out of the controller, with a plan to tick off"],
  ["Inspection", "what the last hand changed, and where it contradicts itself"],
  ["Recordings", "drives in lanes, moments, spans, an operating map"],
  ["Diagnosis", "which mechanical story explains them, and which test decides"],
  ["Change sheet", "what the tables should be, cell by cell, and why"],
  ["Pulls", "power and torque with their standard, and what to stop for"],
  ["Handover", "the owner's report, the workshop's sheet, how the vehicle left"],
];

function EmptyBook({ begin }: { begin: () => void }) {
  return (
    <section className="empty-book">
      <h2>Nothing is in this book yet</h2>
      <p className="teach">
        A job begins with what the vehicle came for. Then drop in what came with it, all at once or as it turns up: the calibration as received, the factory's,
        recorded drives, sweeps, the intake sheet. The bench says what each file is and what it still lacks.
      </p>
      <p className="actions">
        <button type="button" className="primary" onClick={begin}>
          Begin the first job
        </button>
      </p>
      <h3>The way of a job, in any order you like</h3>
      <ol className="way">
        {WAY.map(([station, says]) => (
          <li key={station}>
            <strong>{station}</strong>
            <span>{says}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function JobList({ title, jobs }: { title: string; jobs: readonly JobCard[] }) {
  if (jobs.length === 0) return null;
  return (
    <section>
      <h2>
        {title} <span className="soft">{jobs.length}</span>
      </h2>
      <ul className="job-list">
        {jobs.map((job) => (
          <li key={job.slug}>
            <a data-row href={hrefOf(job.slug, job.nextAction.station)}>
              <span className="job-what">
                <span className="job-title">{job.title}</span>
                <span className="job-vehicle">{job.vehicle}</span>
              </span>
              <Knots stations={job.stations} />
              <span className="job-then">
                {job.waits.length > 0 ? (
                  job.waits.map((wait) => <WaitLine key={wait.number} wait={wait} />)
                ) : (
                  <span className={isClosed(job) ? "job-closed" : "job-next"}>{job.nextAction.text}</span>
                )}
                <OpenLine job={job} />
              </span>
              <span className="job-when">
                {since(job.lastAt)}
                <span className="soft">came {plainDay(job.createdAt)}</span>
              </span>
            </a>
            {job.damage !== undefined && <p className="problem">{job.damage}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function WaitLine({ wait }: { wait: WaitView }) {
  const again = wait.measureAgain.length;
  return (
    <span className="job-wait">
      Waits for {wait.what}
      {wait.until === undefined || wait.until === "" ? "" : `, expected ${plainDay(wait.until)}`}
      {again > 0 && <span className="soft">then {again} things to measure again</span>}
    </span>
  );
}

/** What is open, station by station, in words. */
function OpenLine({ job }: { job: JobCard }) {
  const open = job.stations.filter((station) => station.open > 0);
  if (open.length === 0 || isClosed(job)) return null;
  return <span className="soft">open: {open.map((station) => `${station.name.toLowerCase()} ${station.open}`).join(", ")}</span>;
}

/** Lines of the whole book that hold the words; asked a moment after the last key. */
function useHits(sought: string): readonly HitView[] | undefined {
  const [hits, setHits] = useState<readonly HitView[]>();
  useEffect(() => {
    setHits(undefined);
    if (sought.trim() === "") return;
    let isStale = false;
    const timer = setTimeout(() => {
      client.search(sought).then(
        (found) => !isStale && setHits(found),
        () => !isStale && setHits([]),
      );
    }, 120);
    return () => {
      isStale = true;
      clearTimeout(timer);
    };
  }, [sought]);
  return hits;
}

function Hits({ hits, sought }: { hits: readonly HitView[] | undefined; sought: string }) {
  if (hits === undefined) return <p className="teach">Searching.</p>;
  if (hits.length === 0) return <p className="teach">Nothing in this book holds "{sought}".</p>;
  const jobs = [...new Set(hits.map((hit) => hit.job))];
  return (
    <>
      {jobs.map((slug) => {
        const ofJob = hits.filter((hit) => hit.job === slug);
        return (
          <section key={slug} className="hits">
            <h2>
              {ofJob[0]!.title} <span className="soft">{ofJob.length}</span>
            </h2>
            <ul>
              {ofJob.map((hit) => (
                <li key={`${hit.place} ${hit.text} ${hit.at ?? ""}`}>
                  <a data-row href={hrefOf(hit.job, hit.station)} onClick={() => go(hrefOf(hit.job, hit.station))}>
                    <span className="hit-place">{hit.place}</span>
                    <span>{hit.text}</span>
                    <span className="soft">{hit.at === undefined ? "" : plainDay(hit.at)}</span>
                  </a>
                </li>
              ))}
            </ul>
          </section>
        );
      })}
    </>
  );
}
