import { useEffect, useState } from "react";
import type { SignatureView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { useUnits } from "../state/units.ts";
import { tidy } from "../widgets/table-pictures.ts";

/** How the vehicle leaves: what it will be held against when it comes back. */
export function Departure({ desk }: { desk: JobDesk }) {
  const [view, setView] = useState<SignatureView>();
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<string>();
  const units = useUnits();
  const { slug, job } = desk;
  // biome-ignore lint/correctness/useExhaustiveDependencies: an undo takes a signature away too
  useEffect(() => {
    client.signature(slug).then(setView, (error: unknown) => setProblem(String(error)));
  }, [slug, job]);
  const keep = (): void => {
    setBusy(true);
    setProblem(undefined);
    client
      .keepSignature(slug)
      .then(setView)
      .catch((error: unknown) => setProblem(error instanceof Error ? error.message : String(error)))
      .finally(() => {
        setBusy(false);
        void desk.renew();
      });
  };
  const kept = view?.kept ?? undefined;
  return (
    <section>
      <h2>How it leaves</h2>
      {kept === undefined ? (
        <p>
          Nothing is kept yet. Keep how the vehicle leaves from its last drive: should it come back, a new drive is held against this one, and only what moved
          since is a suspect.
        </p>
      ) : (
        <p>
          Kept on {new Date(kept.at).toLocaleDateString()} from the drive on {kept.revision === 0 ? "the tables as received" : `revision ${kept.revision}`}:{" "}
          {kept.residuals} residuals by region of operation, and {kept.measures.length} figures.
        </p>
      )}
      {kept !== undefined && (job?.revisions.at(-1)?.number ?? 0) > kept.revision && (
        <p className="do">
          Revision {job?.revisions.at(-1)?.number} was made since and is not in this. If it leaves in the vehicle, drive it first, bring the recording, and keep
          this again.
        </p>
      )}
      {kept !== undefined && (
        <table className="figures">
          <thead>
            <tr>
              <th scope="col">Figure</th>
              <th scope="col">As it leaves</th>
              <th scope="col">Scatter</th>
              <th scope="col">Seen</th>
            </tr>
          </thead>
          <tbody>
            {kept.measures.map((measure) => {
              const shown = units(measure.unit);
              return (
                <tr key={measure.id}>
                  <th scope="row">{measure.title}</th>
                  <td className="figure">
                    {tidy(shown.show(measure.value))} {shown.unit}
                  </td>
                  <td className="figure">{tidy(shown.show(measure.scatter) - shown.show(0))}</td>
                  <td className="figure">{measure.spells === 1 ? "once" : `${measure.spells} times`}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
      {problem !== undefined && <p role="alert">{problem}</p>}
      <p className="actions">
        <button type="button" className={kept === undefined ? "primary" : undefined} onClick={keep} disabled={isBusy || desk.analysis === undefined}>
          {isBusy ? "Keeping it…" : kept === undefined ? "Keep how it leaves" : "Keep it again from the newest drive"}
        </button>
      </p>
    </section>
  );
}
