import { useEffect, useMemo, useState } from "react";
import type { GuideView, HeardView, VisitView } from "../../api/index.ts";
import { coverage } from "../../drawing/index.ts";
import { useKeys } from "../shell/keys.tsx";
import { client } from "../state/client.ts";
import { type Shown, useUnits } from "../state/units.ts";
import { whatToDo } from "./what-to-do.ts";

/** Drawn at half its size on screen, so that its words are as large as those of the page. */
const FIELD_PX = { width: 320, height: 300 } as const;

/** While driving: the region to visit now in large words, how much of it is done, and the field filling up. Nothing to type. */
export function Underway(props: { readonly slug: string; readonly guide: GuideView; readonly file: string | undefined; readonly stop: () => void }) {
  const { guide } = props;
  const units = useUnits();
  const [heard, setHeard] = useState<HeardView>();
  const [isLost, setLost] = useState(false);
  const [skipped, setSkipped] = useState<ReadonlySet<number>>(new Set());
  useEffect(
    () =>
      client.follow(
        props.slug,
        props.file,
        (view) => {
          setLost(false);
          setHeard(view);
        },
        () => setLost(true),
      ),
    [props.slug, props.file],
  );
  const doneS = (k: number): number => heard?.visitS[k] ?? 0;
  const left = guide.visits.map((visit, k) => ({ visit, k })).filter(({ visit, k }) => doneS(k) < visit.seconds && !skipped.has(k));
  const now = left[0];
  const skip = (): void => {
    if (now !== undefined) setSkipped((old) => new Set([...old, now.k]));
  };
  useKeys({ " ": skip, Escape: props.stop });
  return (
    <div className="underway">
      <section aria-label="Now" className="drive-now">
        {now === undefined ? (
          <h1>All regions visited. Stop where it is safe, end the recording, and bring it to the job.</h1>
        ) : (
          <>
            <Asked visit={now.visit} speed={units("km/h")} />
            <p className="drive-do" role="status">
              {isLost ? "The bench does not answer." : (heard?.says ?? whatToDo(now.visit, heard, guide))}
            </p>
            <DriveBar done={doneS(now.k)} of={now.visit.seconds} />
          </>
        )}
        <ol className="drive-next" aria-label="Then">
          {left.slice(1, 3).map(({ visit }) => (
            <li key={visit.words}>{visit.words}</li>
          ))}
        </ol>
        <div className="drive-buttons">
          {now !== undefined && (
            <button type="button" onClick={skip}>
              Leave this one out
            </button>
          )}
          <button type="button" onClick={props.stop}>
            Stop following
          </button>
        </div>
      </section>
      <Field guide={guide} heard={heard} visits={left.map(({ visit }) => visit)} pressure={units("kPa")} />
    </div>
  );
}

function Asked({ visit, speed }: { visit: VisitView; speed: Shown }) {
  const [band = visit.words, ...rest] = visit.words.split(", ").filter((part) => !/^\d+ s$/.test(part));
  return (
    <>
      <h1>{band}</h1>
      <p className="drive-how">
        {rest.join(", ")}
        {visit.kmh === undefined ? "" : `, about ${speed.show(visit.kmh).toFixed(0)} ${speed.unit}`}
      </p>
    </>
  );
}

function DriveBar({ done, of }: { done: number; of: number }) {
  const wholeS = Math.min(of, Math.floor(done));
  return (
    <div className="drive-bar">
      <progress max={of} value={wholeS} aria-label={`${wholeS} of ${of} seconds`} />
      <span aria-hidden="true">
        {wholeS} of {of} s
      </span>
    </div>
  );
}

/** The field of speed and pressure: this drive and those before it, where to go next, and where the engine is. */
function Field(props: { readonly guide: GuideView; readonly heard: HeardView | undefined; readonly visits: readonly VisitView[]; readonly pressure: Shown }) {
  const { guide, heard, visits, pressure } = props;
  const seconds = Math.round((heard?.dwellS ?? []).reduce<number>((sum, value) => sum + (value ?? 0), 0));
  // The picture holds still while nothing in it changes: drawing it at every look costs the laptop's battery.
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new second or another visit is what changes the picture.
  const picture = useMemo(() => {
    const middle = (from: number, to: number): number => (from + to) / 2;
    return coverage({
      id: "drive-field",
      title: "Where the engine was",
      caption: `${seconds} s of this drive`,
      hasKey: false,
      ...{ widthPx: FIELD_PX.width, heightPx: FIELD_PX.height },
      x: { name: "Engine speed", unit: "1000 rpm", values: guide.rpm.map((rpm) => rpm / 1000) },
      y: { name: "Pressure", unit: pressure.unit, values: guide.kpa.map(pressure.show) },
      dwellS: (heard === undefined || heard.dwellS.length === 0 ? guide.dwellS.map(() => 0) : heard.dwellS).map((value) => value ?? 0),
      next: visits.slice(0, 3).map((visit) => ({ x: middle(visit.fromRpm, visit.toRpm) / 1000, y: pressure.show(middle(visit.fromKpa, visit.toKpa)) })),
    });
  }, [guide, seconds, visits.length, pressure]);
  return (
    <figure className="drive-field">
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: drawn by the drawing room, which escapes every name. */}
      <div dangerouslySetInnerHTML={{ __html: picture.svg }} />
      <figcaption>
        {heard?.file === undefined || heard.file === "" ? "" : `${heard.file}: `}
        {seconds} s driven; a cell fills up within 20 s
      </figcaption>
    </figure>
  );
}
