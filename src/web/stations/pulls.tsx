import { useContext, useEffect, useState } from "react";
import type { PullsView } from "../../api/index.ts";
import { BeforeAPull } from "../pulls/before-a-pull.tsx";
import { CoastDownAndStandard } from "../pulls/reckoning.tsx";
import { GainBlock, SweepTable } from "../pulls/sweep-table.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { client } from "../state/client.ts";
import { UnitsContext } from "../state/units.ts";
import { NoteBlock } from "../widgets/notes.tsx";
import { SeverityMark } from "../widgets/severity.tsx";

/** Power and torque of the sweeps, what to stop for, whether a gain is real, and the list before the next pull. */
export default function Pulls({ desk }: StationProps) {
  const { view, problem } = usePulls(desk);
  const findings = (desk.analysis?.result.findings ?? []).filter((finding) => finding.check.startsWith("pull."));
  const hasSweeps = view !== undefined && view.revisions.length > 0;
  const isBare = desk.job !== undefined && !desk.job.files.some(({ path }) => path.startsWith("pulls/"));
  const [newest, ...earlier] = [...(view?.revisions ?? [])].reverse();
  return (
    <>
      {findings.map((finding) => (
        <article key={finding.check} className="finding">
          <SeverityMark severity={finding.severity} />
          <div>
            <h3>{finding.summary}</h3>
            <ul className="because">
              {finding.because.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
            <p className="do">{finding.do}</p>
          </div>
        </article>
      ))}
      {problem !== undefined && <p role="alert">The sweeps could not be reckoned: {problem}</p>}
      {view === undefined && problem === undefined && !isBare && <p role="status">Reckoning the sweeps.</p>}
      {isBare && (
        <section>
          <h2>Sweeps</h2>
          <p className="teach">
            No sweeps yet. Drop the files of the dynamometer here: roller speed with force, or roller speed with its inertia; or a road recording with a
            coast-down. Give the revision that was in the controller, so that revisions can be compared.
          </p>
        </section>
      )}
      {view !== undefined && hasSweeps && (
        <>
          {view.gains.map((gain) => (
            <GainBlock key={`${gain.from} ${gain.to}`} gain={gain} />
          ))}
          {newest !== undefined && <SweepTable series={newest} />}
        </>
      )}
      {view !== undefined && <BeforeAPull desk={desk} view={view} isStopped={findings.some((finding) => finding.severity === "stop")} />}
      {view !== undefined && hasSweeps && <CoastDownAndStandard key={view.standard} desk={desk} view={view} />}
      {earlier.map((series) => (
        <SweepTable key={series.revision} series={series} isFolded />
      ))}
      <NoteBlock desk={desk} station="pulls" />
    </>
  );
}

/** The sweeps of the job, asked for again whenever the job changed. */
function usePulls({ slug, job, analysis }: StationProps["desk"]): { readonly view: PullsView | undefined; readonly problem: string | undefined } {
  const { system } = useContext(UnitsContext);
  const [view, setView] = useState<PullsView>();
  const [problem, setProblem] = useState<string>();
  // Ticks, files and the intake all make another view of it.
  const mark = `${job?.lastAt} ${analysis?.key}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: `mark` says when the answer is stale.
  useEffect(() => {
    let isCurrent = true;
    client
      .pulls(slug, system)
      .then((fresh) => {
        if (!isCurrent) return;
        setView(fresh);
        setProblem(undefined);
      })
      .catch((error: unknown) => {
        if (isCurrent) setProblem(error instanceof Error ? error.message : String(error));
      });
    return () => {
      isCurrent = false;
    };
  }, [slug, system, mark]);
  return { view, problem };
}
