import { memo, useCallback, useMemo, useState } from "react";
import type { AnalysisView, RecordingView } from "../../api/index.ts";
import { useKeys } from "../shell/keys.tsx";
import type { JobDesk } from "../state/job.ts";
import { useUnits } from "../state/units.ts";
import { Lanes } from "./lanes.tsx";
import { lanesOf, rememberSignals, signalsAtFirst } from "./lanes-of.ts";
import { OperatingMap } from "./operating-map.tsx";
import type { OverlayOf } from "./overlay-choice.tsx";
import { type EvidenceSpan, Ribbon } from "./ribbon.tsx";
import { StatisticsTable } from "./statistics-table.tsx";
import { useAtCursor } from "./use-at-cursor.ts";
import { type TraceView, useView } from "./use-view.ts";
import { type Span, useWindow } from "./use-window.ts";

/** Suspects whose evidence is marked: the ones still in the running. */
const MARKED_SUSPECTS = 3;

/** One recording in lanes, with everything that leads into it and out of it. */
export function Traces(props: {
  readonly recording: RecordingView;
  readonly analysis: AnalysisView;
  readonly desk: JobDesk;
  readonly linked: Span | undefined;
  readonly overlay: OverlayOf | undefined;
}) {
  const { recording, analysis, desk, overlay } = props;
  const units = useUnits();
  const view = useView(recording, props.linked);
  const [width, setWidth] = useState(0);
  const [found, setFound] = useState<readonly Span[]>([]);
  const [signals, setSignals] = useState(() => signalsAtFirst(recording.signals.map((signal) => signal.id)));
  const shown = useWindow(desk.slug, recording.index, signals, view.span, width);
  const laterS = overlay?.laterS ?? 0;
  const under = useWindow(
    desk.slug,
    overlay?.recording ?? 0,
    overlay === undefined ? [] : signals,
    { fromS: view.span.fromS - laterS, toS: view.span.toS - laterS },
    width,
  );
  const atCursor = useAtCursor(desk.slug, recording.index, signals, view.cursorS);
  const lanes = useMemo(() => lanesOf(recording, signals, shown, units), [recording, signals, shown, units]);
  const evidence = useMemo(() => evidenceOf(analysis, recording.file), [analysis, recording.file]);
  useTraceKeys(view);
  const choose = useCallback((next: readonly string[]): void => {
    setSignals(next);
    rememberSignals(next);
  }, []);
  return (
    <>
      <Ribbon recording={recording} view={view} evidence={evidence} found={found} />
      <Lanes
        lanes={lanes}
        shown={shown}
        overlaid={overlay === undefined ? undefined : { shown: under, laterS }}
        view={view}
        evidence={props.linked}
        atCursor={atCursor}
        onWidth={setWidth}
      />
      <Moves view={view} />
      <div className="statistics-and-evidence">
        <StatisticsTable
          slug={desk.slug}
          recording={recording}
          signals={signals}
          span={view.chosen ?? view.span}
          isChosen={view.chosen !== undefined}
          atCursor={atCursor}
        />
        {evidence.length > 0 && <EvidenceList evidence={evidence} visit={view.visit} analysis={analysis} />}
      </div>
      <SignalChoice recording={recording} signals={signals} choose={choose} />
      {recording.folder === "recordings" && (
        <OperatingMap slug={desk.slug} recording={recording} chosen={view.chosen} cursorS={view.cursorS} visit={view.visit} found={found} find={setFound} />
      )}
    </>
  );
}

function useTraceKeys(view: TraceView): void {
  const eighthS = (view.span.toS - view.span.fromS) / 8;
  const left = (): void => view.pan(-eighthS);
  const right = (): void => view.pan(eighthS);
  const closer = (): void => view.zoom(0.6);
  useKeys({
    ArrowLeft: left,
    ArrowRight: right,
    "+": closer,
    "=": closer,
    "-": () => view.zoom(1 / 0.6),
    Home: view.toStart,
    End: view.toEnd,
    "0": view.toWhole,
    "[": () => view.toMoment(-1),
    "]": () => view.toMoment(1),
    ",": () => view.step(-2),
    ".": () => view.step(2),
    s: view.chooseFrom,
    e: view.chooseTo,
  });
}

function Moves({ view }: { view: TraceView }) {
  return (
    <div className="actions">
      <button type="button" onClick={view.toWhole}>
        Whole
      </button>
      <button type="button" onClick={() => view.zoom(0.6)}>
        Closer
      </button>
      <button type="button" onClick={() => view.zoom(1 / 0.6)}>
        Wider
      </button>
      <button type="button" onClick={() => view.toMoment(-1)}>
        Moment before
      </button>
      <button type="button" onClick={() => view.toMoment(1)}>
        Next moment
      </button>
      <button type="button" onClick={view.chooseFrom}>
        Span from here
      </button>
      <button type="button" onClick={view.chooseTo}>
        Span to here
      </button>
      {view.chosen !== undefined && (
        <button type="button" onClick={() => view.choose(undefined)}>
          Let it go
        </button>
      )}
    </div>
  );
}

const SignalChoice = memo(function SignalChoice(props: {
  readonly recording: RecordingView;
  readonly signals: readonly string[];
  readonly choose: (signals: readonly string[]) => void;
}) {
  const { recording, signals, choose } = props;
  return (
    <details className="signals-block">
      <summary>
        Which signals are drawn: {signals.length} of {recording.signals.length}
      </summary>
      <div className="signal-choice">
        {recording.signals.map((signal) => (
          <label key={signal.id} className="tick">
            <input
              type="checkbox"
              checked={signals.includes(signal.id)}
              onChange={(event) => choose(event.target.checked ? [...signals, signal.id] : signals.filter((id) => id !== signal.id))}
            />
            <span>{signal.name}</span>
          </label>
        ))}
      </div>
    </details>
  );
});

/** Evidence by suspect, so that its name stands once and its spans beneath. */
const EvidenceList = memo(function EvidenceList(props: {
  readonly evidence: readonly EvidenceSpan[];
  readonly visit: (span: Span) => void;
  readonly analysis: AnalysisView;
}) {
  const { evidence, analysis } = props;
  const faults = [...new Set(evidence.map((one) => one.fault))];
  return (
    <section>
      <h2>Evidence in this recording</h2>
      {faults.map((fault) => (
        <div key={fault}>
          <h3>{analysis.faults[fault]?.title ?? fault}</h3>
          <ul className="because">
            {evidence
              .filter((one) => one.fault === fault)
              .map((one) => (
                <li key={`${one.fromS} ${one.text}`}>
                  <button type="button" className="link" onClick={() => props.visit(one)}>
                    {one.fromS.toFixed(0)} to {one.toS.toFixed(0)} s
                  </button>
                  , {one.isFor ? "for" : "against"}: {one.text}
                </li>
              ))}
          </ul>
        </div>
      ))}
    </section>
  );
});

function evidenceOf(analysis: AnalysisView, file: string): readonly EvidenceSpan[] {
  return analysis.result.suspects
    .slice(0, MARKED_SUSPECTS)
    .flatMap((suspect) =>
      [suspect.for, suspect.against].flatMap((side, k) =>
        side
          .filter((one) => one.recording === file && one.fromS !== undefined)
          .map((one) => ({ fromS: one.fromS!, toS: one.toS ?? one.fromS!, text: one.text, isFor: k === 0, fault: suspect.fault })),
      ),
    );
}
