import { useEffect, useRef, useState } from "react";
import type { AnalysisView } from "../../api/index.ts";
import { answerTo, type Finding, findingKey } from "../../core/result/index.ts";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";
import { SeverityMark } from "../widgets/severity.tsx";
import { hasChain } from "./chains.ts";
import { FindingPicture } from "./finding-picture.tsx";

const ANSWERED: Readonly<Record<string, string>> = { accepted: "Accepted", disputed: "Disputed", done: "Done" };

interface RowProps {
  readonly finding: Finding;
  readonly desk: JobDesk;
  readonly analysis: AnalysisView;
  readonly isOpen: boolean;
  readonly isDisputing: boolean;
  open(): void;
  dispute(isAsked: boolean): void;
  answer(given: "accepted" | "disputed" | "done", why?: string): void;
}

/** A finding: one line until it is looked at; then its sentence, what it rests on, what to do, and its picture beside. */
export function FindingRow({ finding, desk, analysis, isOpen, isDisputing, open, dispute, answer }: RowProps) {
  const row = useRef<HTMLElement>(null);
  const answered = answerTo(desk.job?.answers ?? {}, finding);
  const bodyId = `finding-${findingKey(finding).replace(/\W+/g, "-")}`;
  const wasMoved = useRef(false);
  useEffect(() => {
    // The page opens at its head; only a person's own step scrolls.
    if (isOpen && wasMoved.current) row.current?.scrollIntoView({ block: "nearest" });
    wasMoved.current = true;
  }, [isOpen]);
  const tables = finding.tables.map((title) => analysis.tables.find((view) => view.title === title)).filter((view) => view !== undefined);
  return (
    <article ref={row} className="finding-row" data-open={isOpen}>
      <h3>
        <button type="button" className="finding-head" aria-expanded={isOpen} aria-controls={bodyId} onClick={open}>
          <SeverityMark severity={finding.severity} />
          <span>{finding.summary}</span>
          <span className="finding-state">{answered === undefined ? "open" : ANSWERED[answered.answer]}</span>
        </button>
      </h3>
      {isOpen && (
        <div className="finding-body" id={bodyId} data-chain={hasChain(finding.check)}>
          <div>
            <ul className="because">
              {finding.because.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
            <p className="do">{finding.do}</p>
            {answered?.why !== undefined && (
              <p className="answer">
                {ANSWERED[answered.answer]}: {answered.why}
              </p>
            )}
            {isDisputing ? (
              <Dispute leave={() => dispute(false)} say={(why) => answer("disputed", why)} />
            ) : (
              <div className="actions">
                <button type="button" onClick={() => answer("accepted")}>
                  Accept <kbd>a</kbd>
                </button>
                <button type="button" onClick={() => dispute(true)}>
                  Dispute <kbd>x</kbd>
                </button>
                <button type="button" onClick={() => answer("done")}>
                  Mark done <kbd>m</kbd>
                </button>
              </div>
            )}
            <p className="table-links">
              {tables.map((table) => (
                <a key={table.title} href={hrefOf(desk.slug, "change-sheet", { role: table.role ?? table.title })}>
                  Open {table.title.toLowerCase()}
                </a>
              ))}
            </p>
          </div>
          <div className="finding-picture">
            <FindingPicture finding={finding} analysis={analysis} />
          </div>
        </div>
      )}
    </article>
  );
}

function Dispute({ leave, say }: { leave: () => void; say: (why: string) => void }) {
  const [why, setWhy] = useState("");
  return (
    <form
      onKeyDown={(event) => event.key === "Escape" && leave()}
      onSubmit={(event) => {
        event.preventDefault();
        say(why);
      }}
    >
      <label className="wide">
        <span>Why it does not hold here</span>
        <textarea autoFocus required value={why} onChange={(event) => setWhy(event.target.value)} />
      </label>
      <div className="actions">
        <button type="submit" className="primary">
          Dispute it
        </button>
        <button type="button" onClick={leave}>
          Leave it
        </button>
      </div>
    </form>
  );
}
