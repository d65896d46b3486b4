import type { RecordingView } from "../../api/index.ts";
import type { TraceView } from "./use-view.ts";
import type { Span } from "./use-window.ts";

export interface EvidenceSpan extends Span {
  readonly text: string;
  readonly isFor: boolean;
  readonly fault: string;
}

/** Share of the width from which a moment has room for its name. */
const NAMED_PERCENT = 6;

function plainKind(kind: string): string {
  return kind.replaceAll("-", " ");
}

/** Above the traces: moments by name, evidence as marks, and the instants found on the operating map. Each leads to its span. */
export function Ribbon(props: {
  readonly recording: RecordingView;
  readonly view: TraceView;
  readonly evidence: readonly EvidenceSpan[];
  readonly found: readonly Span[];
}) {
  const { view, evidence, found } = props;
  const { span } = view;
  const place = ({ fromS, toS }: Span): { left: number; share: number } | undefined => {
    if (toS < span.fromS || fromS > span.toS) return undefined;
    const percent = (atS: number): number => (100 * (Math.min(span.toS, Math.max(span.fromS, atS)) - span.fromS)) / (span.toS - span.fromS);
    return { left: percent(fromS), share: percent(toS) - percent(fromS) };
  };
  // Moments lie within moments: the short ones on top, where they can be reached.
  const byLength = [...props.recording.moments].sort((a, b) => b.toS - b.fromS - (a.toS - a.fromS));
  return (
    <nav className="ribbon" aria-label="Moments and evidence">
      {byLength.map((moment) => {
        const at = place(moment);
        if (at === undefined) return null;
        const name = `${plainKind(moment.kind)}, ${moment.fromS.toFixed(1)} to ${moment.toS.toFixed(1)} s`;
        return (
          <button
            key={`${moment.kind} ${moment.fromS}`}
            type="button"
            className={`moment moment-${moment.kind.replace(/\W+/g, "-")}`}
            style={{ left: `${at.left}%`, width: `max(3px, ${at.share}%)` }}
            title={name}
            aria-label={name}
            aria-current={view.chosen?.fromS === moment.fromS && view.chosen.toS === moment.toS ? "true" : undefined}
            onClick={() => view.visit(moment)}
          >
            {at.share > NAMED_PERCENT ? plainKind(moment.kind) : ""}
          </button>
        );
      })}
      {evidence.map((one) => {
        const at = place(one);
        return at === undefined ? null : (
          <button
            key={`${one.fault} ${one.fromS} ${one.text}`}
            type="button"
            className={one.isFor ? "evidence-mark" : "evidence-mark against"}
            style={{ left: `${at.left}%`, width: `max(14px, ${at.share}%)` }}
            title={one.text}
            aria-label={`Evidence: ${one.text}`}
            onClick={() => view.visit(one)}
          />
        );
      })}
      {found.map((one) => {
        const at = place(one);
        return at === undefined ? null : <i key={one.fromS} className="found" style={{ left: `${at.left}%`, width: `max(2px, ${at.share}%)` }} />;
      })}
    </nav>
  );
}
