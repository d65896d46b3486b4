import { type ReactNode, useContext, useEffect, useState } from "react";
import type { AnalysisView, StoryView, TestView } from "../../api/index.ts";
import type { Evidence, Suspect } from "../../core/result/index.ts";
import { story } from "../../drawing/index.ts";
import { SinceDeparture } from "../comeback/since-departure.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";
import { shownIn, UnitsContext } from "../state/units.ts";
import { Drawn, Figure } from "../widgets/picture.tsx";
import { tidy } from "../widgets/table-pictures.ts";
import { WaitBlock } from "../widgets/waits.tsx";

const WORTH_SHOWING = 0.02;

/** Which story explains the recordings, what speaks for and against it, and which test decides. */
export default function Diagnosis({ desk, toMargin }: StationProps) {
  const { analysis, job } = desk;
  const before = useBefore(analysis);
  if (analysis === undefined || analysis.recordings.length === 0)
    return (
      <p className="teach">
        Bring a recorded drive with some warm idle in it. The bench then weighs which mechanical story explains it, and says which workshop test decides.
      </p>
    );
  const telling = analysis.tests.filter((test) => test.bits > 0);
  const shown = analysis.result.suspects.filter((suspect, i) => i < 2 || suspect.probability >= WORTH_SHOWING);
  return (
    <>
      <SinceDeparture desk={desk} />
      <section>
        <h2>Which story explains it</h2>
        <ol className="suspects">
          {shown.map((suspect) => (
            <SuspectBlock key={suspect.fault} suspect={suspect} before={before} desk={desk} analysis={analysis} toMargin={toMargin} />
          ))}
        </ol>
        {analysis.repairFirst.length > 0 && (
          <div className="repair-first">
            <h3>Repair first</h3>
            {analysis.repairFirst.map((repair) => (
              <p key={repair.fault}>
                {repair.title} ({Math.round(100 * repair.probability)} %): {repair.because} Until it is mended these corrections are held:{" "}
                {repair.holds.join(", ")}.
              </p>
            ))}
          </div>
        )}
      </section>
      <section>
        <h2>Tests that would tell more</h2>
        {(job?.observed.length ?? 0) > 0 && (
          <ul className="observed">
            {job!.observed.map((seen) => (
              <li key={seen.number}>
                {analysis.tests.find((test) => test.id === seen.test)?.title ?? seen.test}: {seen.outcome}
              </li>
            ))}
          </ul>
        )}
        {telling.length === 0 && <p>No test would tell much more than the recordings do.</p>}
        {telling.slice(0, 6).map((test) => (
          <TestBlock key={test.id} test={test} desk={desk} />
        ))}
        <details>
          <summary>Outcomes of other tests</summary>
          {[...telling.slice(6), ...analysis.tests.filter((test) => test.bits === 0)].map((test) => (
            <TestBlock key={test.id} test={test} desk={desk} />
          ))}
        </details>
      </section>
      {analysis.recordNext.length > 0 && (
        <section>
          <h2>What to record next</h2>
          <ul>
            {analysis.recordNext.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </section>
      )}
      <WaitBlock desk={desk} />
      {analysis.alignments.length > 0 && (
        <section>
          <h2>Is the mixture read at the right moment?</h2>
          <p>The exhaust sensor tells of a mixture that was made a moment ago. Everything above stands on moving its reading back to that moment.</p>
          <details>
            <summary>Mixture asked for over mixture measured</summary>
            {analysis.alignments.map((picture) => (
              <Drawn key={picture.caption} picture={picture} />
            ))}
          </details>
        </section>
      )}
      <p className="actions">
        <button type="button" className="primary" onClick={() => void desk.record("station.marked", { station: "diagnosis", state: "done" })}>
          Diagnosis done
        </button>
      </p>
    </>
  );
}

/** Probabilities in percent of the analysis before this one, so that an outcome is seen to move them; undefined while there was none. */
function useBefore(analysis: AnalysisView | undefined): ReadonlyMap<string, number> | undefined {
  const [seen, setSeen] = useState<{ readonly key: string; readonly now: ReadonlyMap<string, number>; readonly before?: ReadonlyMap<string, number> }>();
  useEffect(() => {
    if (analysis === undefined) return;
    const now = new Map(analysis.result.suspects.map(({ fault, probability }) => [fault, Math.round(100 * probability)]));
    setSeen((last) => (last?.key === analysis.key ? last : { key: analysis.key, now, before: last?.now }));
  }, [analysis]);
  return seen?.before;
}

function SuspectBlock({
  suspect,
  before,
  desk,
  analysis,
  toMargin,
}: {
  suspect: Suspect;
  before: ReadonlyMap<string, number> | undefined;
  desk: JobDesk;
  analysis: AnalysisView;
  toMargin: (content: ReactNode) => void;
}) {
  const fault = analysis.faults[suspect.fault];
  const percent = Math.round(100 * suspect.probability);
  const was = before?.get(suspect.fault);
  const stories = analysis.stories.filter((one) => one.fault === suspect.fault);
  const sizes = (suspect.sizes ?? []).map((size) => `${size.name}: ${tidy(size.value)} ${size.unit} (${tidy(size.low)} to ${tidy(size.high)})`);
  return (
    <li className="suspect">
      <h3>{fault?.title ?? suspect.fault}</h3>
      <div className="likelihood">
        <meter min={0} max={100} value={percent} aria-label={`Probability of: ${fault?.title ?? suspect.fault}`} />
        <span className="figure">{percent < 1 ? "< 1" : percent} %</span>
        {was !== undefined && was !== percent && <span className="soft">was {was < 1 ? "< 1" : was} % before the last entry</span>}
      </div>
      {sizes.length > 0 && <p>{sizes.join("; ")}. The range holds it in nine cases of ten.</p>}
      <div className="stories">
        {stories.map((one, i) => (
          <StoryFigure key={`${one.fault}-${one.title}`} view={one} id={`story-${suspect.fault.replace(/\W/g, "-")}-${i}`} />
        ))}
      </div>
      <EvidenceList title="Speaks for it" list={suspect.for} desk={desk} analysis={analysis} />
      <EvidenceList title="Speaks against it" list={suspect.against} desk={desk} analysis={analysis} />
      {suspect.next !== undefined && <p className="do">{suspect.next}</p>}
      {fault !== undefined && (
        <button
          type="button"
          onClick={() =>
            toMargin(
              <>
                <h3>{fault.title}</h3>
                <p>{fault.what}</p>
                <p>What it costs to ignore: {fault.cost}</p>
              </>,
            )
          }
        >
          About this fault
        </button>
      )}
    </li>
  );
}

function EvidenceList({ title, list, desk, analysis }: { title: string; list: readonly Evidence[]; desk: JobDesk; analysis: AnalysisView }) {
  if (list.length === 0) return null;
  return (
    <>
      <h4>{title}</h4>
      <ul className="because">
        {list.map((evidence) => {
          const recording = analysis.recordings.find((view) => view.file === evidence.recording);
          return (
            <li key={evidence.text}>
              {evidence.text}{" "}
              {recording !== undefined && evidence.fromS !== undefined && (
                <a
                  href={hrefOf(desk.slug, "recordings", {
                    r: String(recording.index),
                    from: String(evidence.fromS),
                    to: String(evidence.toS ?? evidence.fromS + 10),
                  })}
                >
                  {recording.file.replace(/^recordings\//, "")}, {evidence.fromS.toFixed(0)} to {(evidence.toS ?? evidence.fromS).toFixed(0)} s
                </a>
              )}
            </li>
          );
        })}
      </ul>
    </>
  );
}

function StoryFigure({ view, id }: { view: StoryView; id: string }) {
  const { system } = useContext(UnitsContext);
  const x = shownIn(view.x.unit, system);
  const y = shownIn(view.y.unit, system);
  const perUnit = Math.abs(y.show(1) - y.show(0));
  const picture = story({
    id,
    title: view.title,
    caption: `${view.title}: each point a stretch of the recording with its deviation; the line is what this story expects, the band its range.`,
    widthPx: 520,
    x: { name: view.x.name, unit: x.unit },
    y: { name: view.y.name, unit: y.unit },
    points: {
      x: view.points.map((point) => x.show(point.x)),
      y: view.points.map((point) => y.show(point.y)),
      sd: view.points.map((point) => point.sd * perUnit),
    },
    curves: [
      {
        label: "this story",
        isLeading: true,
        x: view.curve.map((point) => x.show(point.x)),
        y: view.curve.map((point) => y.show(point.y)),
        low: view.curve.map((point) => y.show(point.low)),
        high: view.curve.map((point) => y.show(point.high)),
      },
    ],
  });
  return <Figure picture={picture} />;
}

function TestBlock({ test, desk }: { test: TestView; desk: JobDesk }) {
  const [why, setWhy] = useState("");
  return (
    <article className="test">
      <h3>
        {test.title} <span className="soft">about {test.minutes} min</span>
      </h3>
      <p>{test.how}</p>
      <ul className="cautions">
        {test.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <label>
        <span>Remark to the outcome</span>
        <input value={why} onChange={(event) => setWhy(event.target.value)} />
      </label>
      <fieldset className="actions">
        <legend>Outcome</legend>
        {test.outcomes.map((outcome) => (
          <button key={outcome.id} type="button" onClick={() => void desk.record("test.observed", { test: test.id, outcome: outcome.id }, why)}>
            {outcome.text}
          </button>
        ))}
      </fieldset>
    </article>
  );
}
