import type { FileView } from "../../api/index.ts";
import type { JobDesk } from "../state/job.ts";

const GROUPS: readonly (readonly [folder: string, name: string])[] = [
  ["intake.json", "Intake sheet"],
  ["calibration/as-received/", "Calibration as received"],
  ["calibration/reference/", "Factory reference"],
  ["recordings/", "Recordings"],
  ["pulls/", "Sweeps"],
  ["attachments/", "Attachments"],
];

/** Every file of the job, by what it is; one taken out by mistake is brought back by undo, and the original is never deleted. */
export function FilesBlock({ desk }: { desk: JobDesk }) {
  const files = desk.job?.files ?? [];
  const groups = GROUPS.map(([folder, name]) => ({ name, files: files.filter((file) => file.path.startsWith(folder)) })).filter(
    ({ files: of }) => of.length > 0,
  );
  return (
    <section>
      <h2>What is here</h2>
      {groups.length === 0 && (
        <p>
          No files yet. Drop them anywhere on this page, or press Bring files: calibration as received, the factory's, recordings, sweeps, the intake sheet.
        </p>
      )}
      {groups.map((group) => (
        <details key={group.name}>
          <summary>
            {group.name} <span className="soft">{sizeText(group.files)}</span>
          </summary>
          <ul className="file-list">
            {group.files.map((file) => (
              <li key={`${file.path} ${file.sha256}`}>
                <span>{file.path.slice(file.path.lastIndexOf("/") + 1)}</span>
                <span className="soft figure">
                  {Math.max(1, Math.round(file.bytes / 1000))} kB{file.revision === undefined || file.revision === 0 ? "" : `, revision ${file.revision}`}
                </span>
                <span className="soft figure" title={`SHA-256 ${file.sha256}`}>
                  {file.sha256.slice(0, 8)}
                </span>
                <button type="button" className="link" onClick={() => void desk.record("files.withdrawn", { paths: [file.path] })}>
                  Take out
                </button>
              </li>
            ))}
          </ul>
        </details>
      ))}
    </section>
  );
}

function sizeText(files: readonly FileView[]): string {
  const kB = files.reduce((sum, file) => sum + file.bytes, 0) / 1000;
  return `${files.length} ${files.length === 1 ? "file" : "files"}, ${kB < 1000 ? `${Math.max(1, Math.round(kB))} kB` : `${(kB / 1000).toFixed(1)} MB`}`;
}
