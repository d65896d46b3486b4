import { useMemo, useRef, useState } from "react";
import type { BoardView, JobCard } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { go, hrefOf } from "../state/route.ts";
import { applyTheme, themeChoice } from "../state/theme.ts";
import { useKeys } from "./keys.tsx";
import { Knots } from "./spine.tsx";
import { TopBar } from "./top-bar.tsx";

/** Where every job stands, what it waits for, and what comes next. */
export function Board({ board, refresh }: { board: BoardView | undefined; refresh: () => void }) {
  const [sought, setSought] = useState("");
  const [beginning, setBeginning] = useState(false);
  const search = useRef<HTMLInputElement>(null);
  useKeys({
    "/": () => search.current?.focus(),
    n: () => setBeginning(true),
    t: () => applyTheme(themeChoice() === "bay" ? "paper" : "bay"),
  });
  const shown = useMemo(() => (board?.jobs ?? []).filter((job) => matches(job, sought)), [board, sought]);
  const waiting = shown.filter((job) => job.waits.length > 0);
  const ready = shown.filter((job) => job.waits.length === 0);
  if (board === undefined) return null;
  return (
    <div className="board">
      <TopBar title={board.shop === "" ? "Jobs" : board.shop}>
        <label className="search">
          <span>Search</span>
          <input ref={search} type="search" value={sought} onChange={(event) => setSought(event.target.value)} placeholder="vehicle, part, note" />
        </label>
        <button type="button" className="primary" onClick={() => setBeginning(true)}>
          Begin a job
        </button>
      </TopBar>
      <main>
        {beginning && <BeginJob cancel={() => setBeginning(false)} begun={refresh} />}
        {board.jobs.length === 0 && !beginning && (
          <p className="teach">
            The book is empty. Begin a job with the vehicle's complaint as its title, then drop in what came with it: the calibration as received, the
            factory's, recorded drives, sweeps, the intake sheet.
          </p>
        )}
        <JobList title="Can go on" jobs={ready} />
        <JobList title="Waiting" jobs={waiting} />
        {board.jobs.length > 0 && shown.length === 0 && <p className="teach">No job answers to "{sought}".</p>}
      </main>
    </div>
  );
}

function matches(job: JobCard, sought: string): boolean {
  const text = `${job.title} ${job.vehicle} ${job.nextAction.text} ${job.waits.map((wait) => wait.what).join(" ")}`.toLowerCase();
  return sought
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}

function JobList({ title, jobs }: { title: string; jobs: readonly JobCard[] }) {
  if (jobs.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul className="job-list">
        {jobs.map((job) => (
          <li key={job.slug}>
            <a href={hrefOf(job.slug, job.nextAction.station)}>
              <span className="job-title">{job.title}</span>
              <span className="job-vehicle">{job.vehicle}</span>
              <Knots stations={job.stations} />
              <span className="job-next">{job.nextAction.text}</span>
              <span className="job-when">{plainDay(job.lastAt)}</span>
            </a>
            {job.damage !== undefined && <p className="problem">{job.damage}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function plainDay(iso: string): string {
  return new Date(iso).toLocaleDateString(undefined, { weekday: "short", day: "numeric", month: "short" });
}

function BeginJob({ cancel, begun }: { cancel: () => void; begun: () => void }) {
  const [title, setTitle] = useState("");
  const [vehicle, setVehicle] = useState("");
  const [problem, setProblem] = useState("");
  const begin = async (): Promise<void> => {
    try {
      const { slug } = await client.createJob(title, vehicle);
      begun();
      go(hrefOf(slug, "intake"));
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <form
      className="begin"
      onSubmit={(event) => {
        event.preventDefault();
        void begin();
      }}
    >
      <label>
        <span>What it came for</span>
        <input autoFocus required value={title} onChange={(event) => setTitle(event.target.value)} placeholder="Idle hunts after the cam" />
      </label>
      <label>
        <span>Vehicle</span>
        <input value={vehicle} onChange={(event) => setVehicle(event.target.value)} placeholder="estate car, 2.5 L inline five, manual" />
      </label>
      <div className="actions">
        <button type="submit" className="primary">
          Begin
        </button>
        <button type="button" onClick={cancel}>
          Leave it
        </button>
      </div>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
    </form>
  );
}
