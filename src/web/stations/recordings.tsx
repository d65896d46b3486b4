import { useCallback, useContext, useEffect, useMemo, useState } from "react";
import type { AnalysisView, RecordingView } from "../../api/index.ts";
import { SIGNALS } from "../../core/units/index.ts";
import { niceRange } from "../../drawing/index.ts";
import type { Lane } from "../recordings/draw-lanes.ts";
import { Lanes } from "../recordings/lanes.tsx";
import { OperatingMap } from "../recordings/operating-map.tsx";
import { extremesOf, type Span, useWindow } from "../recordings/use-window.ts";
import type { StationProps } from "../shell/job-page.tsx";
import { useKeys } from "../shell/keys.tsx";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { shownIn, UnitsContext } from "../state/units.ts";
import { NoteBlock } from "../widgets/notes.tsx";

const USUAL = ["rpm", "map", "lambda", "stft1", "maf", "tp1"];
const SHORTEST_S = 0.5;

/** The recordings themselves: traces in lanes, moments, evidence, and where on the operating map the engine was. */
export default function Recordings({ desk, query }: StationProps) {
  const { analysis } = desk;
  const asked = Number(query.get("r") ?? "0");
  const [index, setIndex] = useState(asked);
  useEffect(() => setIndex(asked), [asked]);
  const recording = analysis?.recordings.find((view) => view.index === index) ?? analysis?.recordings[0];
  if (analysis === undefined || recording === undefined)
    return (
      <p className="teach">
        Drop a recorded drive here: any table of text with a time column and a header. The bench finds the columns, the units and the clock by itself and says
        what it took for what.
      </p>
    );
  return (
    <>
      <label>
        <span>Recording</span>
        <select value={recording.index} onChange={(event) => setIndex(Number(event.target.value))}>
          {analysis.recordings.map((view) => (
            <option key={view.index} value={view.index}>
              {view.file}, {(view.durationS / 60).toFixed(1)} min
            </option>
          ))}
        </select>
      </label>
      <Traces key={recording.index} recording={recording} analysis={analysis} desk={desk} query={query} />
      <Columns recording={recording} desk={desk} />
      <NoteBlock desk={desk} station="recordings" />
    </>
  );
}

function Traces({ recording, analysis, desk, query }: { recording: RecordingView; analysis: AnalysisView; desk: JobDesk; query: URLSearchParams }) {
  const { system } = useContext(UnitsContext);
  const whole: Span = { fromS: 0, toS: recording.durationS };
  const linked = query.get("from") === null ? undefined : { fromS: Number(query.get("from")), toS: Number(query.get("to") ?? query.get("from")) };
  const [span, setSpan] = useState<Span>(linked === undefined ? whole : around(linked, whole));
  const [cursorS, setCursorS] = useState<number>();
  const [chosen, setChosen] = useState<Span>();
  const [width, setWidth] = useState(0);
  const [found, setFound] = useState<readonly number[]>([]);
  const available = recording.signals.map((signal) => signal.id as string);
  const [signals, setSignals] = useState<readonly string[]>(() => USUAL.filter((signal) => available.includes(signal)));
  const [colour, setColour] = useState(available.includes("fuelResidual") ? "fuelResidual" : (available[0] ?? "rpm"));
  const shown = useWindow(desk.slug, recording.index, signals, span, width);
  const overview = useWindow(desk.slug, recording.index, signals, whole, 400);
  const within = useCallback(
    (next: Span): Span => {
      const length = Math.min(recording.durationS, Math.max(SHORTEST_S, next.toS - next.fromS));
      const fromS = Math.min(Math.max(0, next.fromS), recording.durationS - length);
      return { fromS, toS: fromS + length };
    },
    [recording.durationS],
  );
  const pan = (byS: number): void => setSpan((old) => within({ fromS: old.fromS + byS, toS: old.toS + byS }));
  const zoom = (factor: number, aboutS: number): void =>
    setSpan((old) => within({ fromS: aboutS - (aboutS - old.fromS) * factor, toS: aboutS + (old.toS - aboutS) * factor }));
  const middle = (span.fromS + span.toS) / 2;
  const step = (span.toS - span.fromS) / 8;
  const moments = recording.moments;
  const toMoment = (direction: 1 | -1): void => {
    const at = cursorS ?? span.fromS;
    const next = direction === 1 ? moments.find((moment) => moment.fromS > at + 0.05) : [...moments].reverse().find((moment) => moment.fromS < at - 0.05);
    if (next === undefined) return;
    setCursorS(next.fromS);
    setChosen(next);
    setSpan(around(next, whole));
  };
  const left = (): void => pan(-step);
  const right = (): void => pan(step);
  const toStart = (): void => setSpan(within({ fromS: 0, toS: span.toS - span.fromS }));
  const toEnd = (): void => setSpan(within({ fromS: recording.durationS - (span.toS - span.fromS), toS: recording.durationS }));
  useKeys({
    ArrowLeft: left,
    ArrowRight: right,
    "+": () => zoom(0.6, cursorS ?? middle),
    "=": () => zoom(0.6, cursorS ?? middle),
    "-": () => zoom(1 / 0.6, cursorS ?? middle),
    Home: toStart,
    End: toEnd,
    "0": () => setSpan(whole),
    "[": () => toMoment(-1),
    "]": () => toMoment(1),
    ",": () => setCursorS((at) => Math.max(0, (at ?? middle) - step / 10)),
    ".": () => setCursorS((at) => Math.min(recording.durationS, (at ?? middle) + step / 10)),
    s: () => setChosen({ fromS: cursorS ?? span.fromS, toS: chosen?.toS ?? span.toS }),
    e: () => setChosen({ fromS: chosen?.fromS ?? span.fromS, toS: cursorS ?? span.toS }),
  });
  const lanes = useMemo(
    () =>
      signals.map((id): Lane => {
        const signal = recording.signals.find((one) => one.id === id);
        const unit = shownIn(signal?.unit ?? "", system);
        const seen = overview === undefined ? undefined : extremesOf(overview, id, { fromS: 0, toS: recording.durationS });
        const ends = seen === undefined ? [0, 1] : [unit.show(seen.least), unit.show(seen.greatest)];
        return { signal: id, name: signal?.name ?? id, unit: unit.unit, show: unit.show, range: niceRange(Math.min(...ends), Math.max(...ends), 3) };
      }),
    [signals, recording, system, overview],
  );
  const evidence = analysis.result.suspects
    .slice(0, 3)
    .flatMap((suspect) =>
      [...suspect.for, ...suspect.against]
        .filter((one) => one.recording === recording.file && one.fromS !== undefined)
        .map((one) => ({ fromS: one.fromS!, toS: one.toS ?? one.fromS!, text: one.text })),
    );
  const colourSignal = recording.signals.find((signal) => signal.id === colour);
  return (
    <>
      <nav className="ribbon" aria-label="Moments">
        {moments
          .filter((moment) => moment.toS > span.fromS && moment.fromS < span.toS)
          .map((moment) => {
            const left = (100 * (Math.max(moment.fromS, span.fromS) - span.fromS)) / (span.toS - span.fromS);
            const share = (100 * (Math.min(moment.toS, span.toS) - Math.max(moment.fromS, span.fromS))) / (span.toS - span.fromS);
            return (
              <button
                key={`${moment.kind} ${moment.fromS}`}
                type="button"
                className={`moment moment-${moment.kind}`}
                style={{ left: `${left}%`, width: `${Math.max(0.4, share)}%` }}
                title={`${moment.kind}, ${moment.fromS.toFixed(1)} to ${moment.toS.toFixed(1)} s`}
                onClick={() => setChosen(moment)}
              >
                {share > 8 ? moment.kind : ""}
              </button>
            );
          })}
        {found
          .slice(0, 400)
          .map((at) =>
            at >= span.fromS && at <= span.toS ? (
              <i key={at} className="found" style={{ left: `${(100 * (at - span.fromS)) / (span.toS - span.fromS)}%` }} />
            ) : null,
          )}
      </nav>
      <Lanes
        lanes={lanes}
        shown={shown}
        view={{ span, cursorS, chosen, evidence: linked }}
        onWidth={setWidth}
        pan={pan}
        zoom={zoom}
        cursor={setCursorS}
        choose={setChosen}
      />
      <div className="actions">
        <button type="button" onClick={() => setSpan(whole)}>
          Whole recording
        </button>
        <button type="button" onClick={() => zoom(0.6, cursorS ?? middle)}>
          Closer
        </button>
        <button type="button" onClick={() => zoom(1 / 0.6, cursorS ?? middle)}>
          Wider
        </button>
        <button type="button" onClick={() => toMoment(-1)}>
          Moment before
        </button>
        <button type="button" onClick={() => toMoment(1)}>
          Next moment
        </button>
      </div>
      <StatisticsTable desk={desk} recording={recording} signals={signals} span={chosen ?? span} cursorS={cursorS} />
      {evidence.length > 0 && (
        <section>
          <h2>Evidence in this recording</h2>
          <ul className="because">
            {evidence.map((one) => (
              <li key={`${one.fromS} ${one.text}`}>
                <button
                  type="button"
                  className="link"
                  onClick={() => {
                    setChosen(one);
                    setSpan(around(one, whole));
                  }}
                >
                  {one.fromS.toFixed(0)} to {one.toS.toFixed(0)} s
                </button>{" "}
                {one.text}
              </li>
            ))}
          </ul>
        </section>
      )}
      <details>
        <summary>Which signals are drawn</summary>
        <div className="signal-choice">
          {recording.signals.map((signal) => (
            <label key={signal.id} className="tick">
              <input
                type="checkbox"
                checked={signals.includes(signal.id)}
                onChange={(event) => setSignals(event.target.checked ? [...signals, signal.id] : signals.filter((id) => id !== signal.id))}
              />
              <span>{signal.name}</span>
            </label>
          ))}
        </div>
      </details>
      {recording.folder === "recordings" && (
        <section>
          <h2>Where the engine was</h2>
          <label>
            <span>Coloured by</span>
            <select value={colour} onChange={(event) => setColour(event.target.value)}>
              {recording.signals.map((signal) => (
                <option key={signal.id} value={signal.id}>
                  {signal.name}
                </option>
              ))}
            </select>
          </label>
          <OperatingMap
            slug={desk.slug}
            recording={recording.index}
            colour={colour}
            colourName={colourSignal?.name ?? colour}
            unit={shownIn(colourSignal?.unit ?? "", system)}
            pressure={shownIn("kPa", system)}
            chosen={chosen}
            found={setFound}
          />
        </section>
      )}
    </>
  );
}

function around(span: Span, whole: Span): Span {
  const margin = Math.max(2, (span.toS - span.fromS) * 0.4);
  return { fromS: Math.max(whole.fromS, span.fromS - margin), toS: Math.min(whole.toS, span.toS + margin) };
}

/** Statistics of the span and the value at the cursor, for every lane; also what a screen reader reads of the traces. */
function StatisticsTable({
  desk,
  recording,
  signals,
  span,
  cursorS,
}: {
  desk: JobDesk;
  recording: RecordingView;
  signals: readonly string[];
  span: Span;
  cursorS: number | undefined;
}) {
  const { system } = useContext(UnitsContext);
  const [rows, setRows] = useState<
    readonly {
      id: string;
      mean: number | null;
      sd: number | null;
      least: number | null;
      greatest: number | null;
      slopePerS: number | null;
      at: number | null;
    }[]
  >([]);
  const names = signals.join(",");
  useEffect(() => {
    if (names === "") return setRows([]);
    const timer = setTimeout(() => {
      client.statistics(desk.slug, recording.index, names.split(","), span.fromS, span.toS, cursorS).then(setRows, () => setRows([]));
    }, 60);
    return () => clearTimeout(timer);
  }, [desk.slug, recording.index, names, span.fromS, span.toS, cursorS]);
  return (
    <table className="figures statistics">
      <caption>
        {span.fromS.toFixed(1)} to {span.toS.toFixed(1)} s
      </caption>
      <thead>
        <tr>
          <th>Signal</th>
          <th>At the cursor</th>
          <th>Mean</th>
          <th>Deviation</th>
          <th>Least</th>
          <th>Greatest</th>
          <th>Slope a second</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => {
          const signal = recording.signals.find((one) => one.id === row.id);
          const unit = shownIn(signal?.unit ?? "", system);
          const size = unit.show(1) - unit.show(0);
          const show = (value: number | null, isDifference = false): string =>
            value === null ? "–" : Number((isDifference ? value * size : unit.show(value)).toPrecision(4)).toString();
          return (
            <tr key={row.id}>
              <td>
                {signal?.name ?? row.id} [{unit.unit}]
              </td>
              <td>{show(row.at)}</td>
              <td>{show(row.mean)}</td>
              <td>{show(row.sd, true)}</td>
              <td>{show(row.least)}</td>
              <td>{show(row.greatest)}</td>
              <td>{show(row.slopePerS, true)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** What each column was taken for; a wrong guess is corrected once and remembered. */
function Columns({ recording, desk }: { recording: RecordingView; desk: JobDesk }) {
  const named = recording.signals.filter((signal) => signal.source !== undefined);
  const correct = (column: string, signal: string): void => void desk.record("column.named", { file: recording.file, column, signal });
  const choice = (column: string, current: string) => (
    <select aria-label={`What "${column}" is`} value={current} onChange={(event) => correct(column, event.target.value)}>
      <option value="none">not used</option>
      {Object.entries(SIGNALS).map(([id, { name }]) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </select>
  );
  return (
    <details>
      <summary>
        Columns: {named.length} recognised, {recording.unrecognised.length} not
      </summary>
      {recording.repairs.length > 0 && (
        <ul>
          {recording.repairs.map((repair) => (
            <li key={repair}>{repair}</li>
          ))}
        </ul>
      )}
      <table className="figures">
        <thead>
          <tr>
            <th>Column</th>
            <th>Taken for</th>
            <th>Sure [%]</th>
          </tr>
        </thead>
        <tbody>
          {named.map((signal) => (
            <tr key={signal.id}>
              <td>{signal.source}</td>
              <td>{choice(signal.source!, signal.id)}</td>
              <td>{signal.confidence === undefined ? "–" : Math.round(100 * signal.confidence)}</td>
            </tr>
          ))}
          {recording.unrecognised.map((column) => (
            <tr key={column}>
              <td>{column}</td>
              <td>{choice(column, "none")}</td>
              <td>–</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
