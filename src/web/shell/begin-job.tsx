import { useState } from "react";
import { client } from "../state/client.ts";
import { go, hrefOf } from "../state/route.ts";

/** A job begins with what the vehicle came for. */
export function BeginJob({ cancel, begun }: { cancel: () => void; begun: () => void }) {
  const [title, setTitle] = useState("");
  const [vehicle, setVehicle] = useState("");
  const [problem, setProblem] = useState("");
  const begin = async (): Promise<void> => {
    try {
      const { slug } = await client.createJob(title, vehicle);
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
      <label>
        <span>Vehicle</span>
        <input value={vehicle} onChange={(event) => setVehicle(event.target.value)} placeholder="estate car, 2.5 L inline five, manual" />
      </label>
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
