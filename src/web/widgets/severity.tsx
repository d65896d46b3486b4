import type { Severity } from "../../core/result/index.ts";

const WORDS: Readonly<Record<Severity, string>> = { stop: "Stop", fix: "Fix", watch: "Watch", note: "Note" };

/** A severity by shape and word; colour only supports the shape. */
export function SeverityMark({ severity }: { severity: Severity }) {
  return (
    <span className={`severity severity-${severity}`}>
      <svg viewBox="0 0 16 16" aria-hidden="true">
        {severity === "stop" && <rect x="2" y="2" width="12" height="12" fill="currentColor" />}
        {severity === "fix" && <path d="M8 1.5 L15 14 H1 Z" fill="currentColor" />}
        {severity === "watch" && <circle cx="8" cy="8" r="5.5" fill="none" stroke="currentColor" strokeWidth="2.2" />}
        {severity === "note" && <path d="M3 8 H13" stroke="currentColor" strokeWidth="2.6" />}
      </svg>
      {WORDS[severity]}
    </span>
  );
}
