import { useEffect, useState } from "react";
import type { GuideView, WatchView } from "../../api/index.ts";
import { client } from "../state/client.ts";

/** Said before every drive; the guide's own cautions follow. */
const CAUTIONS = [
  "The driver drives. A second person reads this page, or it is looked at after stopping.",
  "The laptop is fastened; no cable lies near the pedals.",
  "Limits and the law are obeyed: a region that cannot be reached lawfully on this road is left out. No full-load sweeps on public roads.",
  "Lean, knocking, hot or smelling: lift off, stop where it is safe, look for the cause first.",
  "Where a local code, the vehicle's maker or a licensed engineer says otherwise, they are right.",
];

/** While the vehicle stands: what will be asked, which file is followed, and the cautions, which must be taken note of first. */
export function BeforeDriving(props: {
  readonly title: string;
  readonly guide: GuideView;
  readonly back: string;
  /** @param file  undefined: whatever is written next */
  readonly start: (file: string | undefined) => void;
}) {
  const { guide } = props;
  const [isRead, setRead] = useState(false);
  const [watch, setWatch] = useState<WatchView>();
  const [folder, setFolder] = useState("");
  const [file, setFile] = useState("");
  const [problem, setProblem] = useState("");
  const failed = (error: Error): void => setProblem(error.message);
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once, when the page opens.
  useEffect(() => {
    client.watch().then(setWatch, failed);
  }, []);
  const isReady = isRead && watch !== undefined && watch.folder !== null;
  return (
    <>
      <header className="drive-head">
        <a href={props.back}>Back to the job</a>
        <h1>Before driving: {props.title}</h1>
      </header>
      <section className="drive-cautions" aria-label="Cautions">
        <ul>
          {[...CAUTIONS, ...guide.cautions.slice(1)].map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
        <label className="drive-tick">
          <input type="checkbox" checked={isRead} onChange={(event) => setRead(event.target.checked)} />
          <span>Read. A second person looks after this page, and the vehicle stands.</span>
        </label>
      </section>
      <section aria-label="The recording to follow">
        <form
          className="drive-folder"
          onSubmit={(event) => {
            event.preventDefault();
            setProblem("");
            client.watchFolder(folder).then(setWatch, failed);
          }}
        >
          <label>
            <span>Folder into which the logger writes{watch?.folder ? `, now ${watch.folder}` : ""}</span>
            <input type="text" value={folder} onChange={(event) => setFolder(event.target.value)} placeholder={watch?.folder ?? "/home/…/recordings"} />
          </label>
          <button type="submit" disabled={folder.trim() === ""}>
            Use it
          </button>
        </form>
        {problem !== "" && (
          <p className="problem" role="alert">
            {problem}
          </p>
        )}
        {watch !== undefined && watch.folder !== null && (
          <label className="drive-file">
            <span>Recording to follow</span>
            <select value={file} onChange={(event) => setFile(event.target.value)}>
              <option value="">whatever is written next</option>
              {watch.files.map(({ name, changedAt }) => (
                <option key={name} value={name}>
                  {name}, {new Date(changedAt).toLocaleTimeString()}
                </option>
              ))}
            </select>
          </label>
        )}
      </section>
      <button type="button" className="primary drive-start" disabled={!isReady} onClick={() => props.start(file === "" ? undefined : file)}>
        Start the guide
      </button>
      {!isReady && <p className="drive-why">{isRead ? "Name the folder first." : "Take note of the cautions first."}</p>}
      <h2>What it will ask for, {guide.visits.length} regions</h2>
      <ol className="drive-list">
        {guide.visits.map((visit) => (
          <li key={visit.words}>{visit.words}</li>
        ))}
      </ol>
      {guide.also.map((text) => (
        <p key={text}>Also: {text}.</p>
      ))}
      <p>
        Where this vehicle runs, its volumetric efficiency is known to ±{guide.doubtPercent.toFixed(1)} % now; after these visits about ±
        {guide.expectedDoubtPercent.toFixed(1)} %.
      </p>
    </>
  );
}
