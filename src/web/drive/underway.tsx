import { useMemo } from "react";
import type { GuideView, HeardView, VisitView } from "../../api/index.ts";
import { coverage } from "../../drawing/index.ts";
import { useKeys } from "../shell/keys.tsx";
import { type Shown, useUnits } from "../state/units.ts";
import { useDrive, type VisitState } from "./use-drive.ts";
import { sayNow } from "./what-to-do.ts";

/** Drawn at half its size on screen, so that its words are as large as those of the page. */
const FIELD_PX = { width: 320, height: 300 } as const;

/** While driving: the region to visit now in large words, how much of it is done, and the field filling up. Nothing to type. */
export function Underway(props: { readonly slug: string; readonly guide: GuideView; readonly file: string | undefined; readonly stop: () => void }) {
  const { guide } = props;
  const units = useUnits();
  const { heard, isLost, states, leaveOut } = useDrive(props.slug, props.file, guide);
  const open = guide.visits.map((visit, k) => ({ visit, k })).filter(({ k }) => states[k] === "open");
  const now = open[0];
  const visited = states.filter((state) => state === "visited").length;
  const skip = (): void => {
    if (now !== undefined) leaveOut(now.k);
  };
  useKeys({ " ": skip, Escape: props.stop });
  return (
    <div className="underway">
      <section aria-label="Now" className="drive-now">
        {now === undefined ? (
          <h1>
            {visited === states.length ? "All regions visited." : `${visited} of ${states.length} regions visited, the rest left out.`} Stop where it is safe,
            end the recording, and bring it to the job.
          </h1>
        ) : (
          <>
            <Asked visit={now.visit} speed={units("km/h")} />
            <p className="drive-do" role="status">
              {sayNow(now.visit, heard, guide, isLost)}
            </p>
            <DriveBar done={heard?.visitS[now.k] ?? 0} of={now.visit.seconds} />
          </>
        )}
        {open.length > 1 && (
          <p className="drive-next">
            <span>Then</span> {open[1]!.visit.words}
          </p>
        )}
        <Ticks states={states} visited={visited} current={now?.k} />
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
      <Field guide={guide} heard={heard} visits={open.map(({ visit }) => visit)} pressure={units("kPa")} />
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

const SIGNS: Readonly<Record<VisitState, string>> = { visited: "M5 16l7 7l15 -17", "left out": "M7 16h18", open: "" };

/** A box a region, ticked off as it was visited; struck where it was left out. */
function Ticks({ states, visited, current }: { states: readonly VisitState[]; visited: number; current: number | undefined }) {
  const leftOut = states.filter((state) => state === "left out").length;
  const words = `${visited} of ${states.length} visited${leftOut === 0 ? "" : `, ${leftOut} left out`}`;
  return (
    <div className="drive-ticks">
      <span className="boxes">
        {states.map((state, k) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a region is known by its place in the guide.
          <svg key={k} viewBox="0 0 32 32" aria-hidden="true" className={k === current ? "current" : undefined}>
            <rect x="2" y="2" width="28" height="28" rx="4" />
            {SIGNS[state] !== "" && <path d={SIGNS[state]} />}
          </svg>
        ))}
      </span>
      <span>{words}</span>
    </div>
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
