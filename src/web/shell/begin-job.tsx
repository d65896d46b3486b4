import { useEffect, useState } from "react";
import type { JobCard } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { go, hrefOf } from "../state/route.ts";

/** A job begins with what the vehicle came for. */
export function BeginJob({ cancel, begun }: { cancel: () => void; begun: () => void }) {
  const [title, setTitle] = useState("");
  const [vehicle, setVehicle] = useState("");
  const [again, setAgain] = useState("");
  const [earlier, setEarlier] = useState<readonly JobCard[]>([]);
  const [problem, setProblem] = useState("");
  useEffect(() => {
    client.board().then(
      (board) => setEarlier(board.jobs),
      () => setEarlier([]),
    );
  }, []);
  const begin = async (): Promise<void> => {
    try {
      const { slug } = await client.createJob(title, again === "" ? vehicle : "", again);
      begun();
      go(hrefOf(slug, "intake"));
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <form
      className="begin"
      onKeyDown={(event) => event.key === "Escape" && cancel()}
      onSubmit={(event) => {
        event.preventDefault();
        void begin();
      }}
    >
      <label>
        <span>What it came for</span>
        <input autoFocus required value={title} onChange={(event) => setTitle(event.target.value)} placeholder="Idle hunts when warm" />
      </label>
      {earlier.length > 0 && (
        <label>
          <span>Was it here before?</span>
          <select value={again} onChange={(event) => setAgain(event.target.value)}>
            <option value="">no, or not in this book</option>
            {earlier.map(({ slug, title: visit, vehicle: known }) => (
              <option key={slug} value={slug}>
                {known === "" ? visit : `${known}: ${visit}`}
              </option>
            ))}
          </select>
        </label>
      )}
      {again === "" ? (
        <label>
          <span>Vehicle</span>
          <input value={vehicle} onChange={(event) => setVehicle(event.target.value)} placeholder="estate car, 2.5 L inline five, manual" />
        </label>
      ) : (
        <p className="soft">The facts of that visit come along; weather and complaint do not. A new drive is held against how it left.</p>
      )}
      <div className="actions">
        <button type="submit" className="primary">
          Begin
        </button>
        <button type="button" onClick={cancel}>
          Leave it
        </button>
      </div>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
    </form>
  );
}
