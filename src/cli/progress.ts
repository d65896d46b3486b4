/** Says what is under way; `done` clears the line. */
export interface Progress {
  step(text: string, share: number): void;
  done(): void;
}

const BAR_WIDTH = 24;
/** Work shorter than this shows nothing: a bar that flashes by helps nobody. */
const QUIET_MS = 500;

/** Progress on a terminal: one line that is rewritten. Elsewhere nothing, so that logs and pipes stay clean. */
export function terminalProgress(stream: NodeJS.WriteStream): Progress {
  if (!stream.isTTY) return { step() {}, done() {} };
  const startedMs = Date.now();
  let shown = false;
  return {
    step(text, share) {
      const elapsedMs = Date.now() - startedMs;
      if (elapsedMs < QUIET_MS) return;
      const filled = Math.round(BAR_WIDTH * share);
      const leftS = share > 0.05 ? Math.ceil((elapsedMs * (1 / share - 1)) / 1000) : undefined;
      const estimate = leftS === undefined ? "" : `  about ${leftS} s left`;
      stream.write(`\r\x1b[2K${"=".repeat(filled)}${"-".repeat(BAR_WIDTH - filled)}  ${text}${estimate}`);
      shown = true;
    },
    done() {
      if (shown) stream.write("\r\x1b[2K");
    },
  };
}
