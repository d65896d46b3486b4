import type { RecordingView } from "../../api/index.ts";

export interface OverlayOf {
  readonly recording: number;
  /** How much later the other recording is drawn [s]. */
  readonly laterS: number;
}

/** Lays a second recording under the first, shifted until they meet. */
export function OverlayChoice(props: {
  readonly recordings: readonly RecordingView[];
  readonly current: RecordingView;
  readonly overlay: OverlayOf | undefined;
  readonly change: (overlay: OverlayOf | undefined) => void;
}) {
  const { overlay, change } = props;
  const others = props.recordings.filter((view) => view.index !== props.current.index);
  if (others.length === 0) return null;
  const shift = (byS: number): void => {
    if (overlay !== undefined) change({ ...overlay, laterS: Math.round((overlay.laterS + byS) * 1000) / 1000 });
  };
  return (
    <>
      <label>
        <span>Beside it, in thin lines</span>
        <select
          value={overlay?.recording ?? ""}
          onChange={(event) => change(event.target.value === "" ? undefined : { recording: Number(event.target.value), laterS: overlay?.laterS ?? 0 })}
        >
          <option value="">nothing</option>
          {others.map((view) => (
            <option key={view.index} value={view.index}>
              {view.file}
            </option>
          ))}
        </select>
      </label>
      {overlay !== undefined && (
        <div className="shift">
          <button type="button" aria-label="Draw it 0.1 s earlier" onClick={() => shift(-0.1)}>
            −
          </button>
          <label>
            <span>Later by [s]</span>
            <input
              type="number"
              step="0.1"
              value={overlay.laterS}
              onChange={(event) => change({ ...overlay, laterS: Number.isFinite(event.target.valueAsNumber) ? event.target.valueAsNumber : 0 })}
            />
          </label>
          <button type="button" aria-label="Draw it 0.1 s later" onClick={() => shift(0.1)}>
            +
          </button>
        </div>
      )}
    </>
  );
}
