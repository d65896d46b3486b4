export { analyseJob, keyOf, loadJob } from "./analyse-job.ts";
export { reportFonts } from "./fonts.ts";
export type { LoadedPacket, OutFile } from "./loaded.ts";
export { reportModelOf, reportOf } from "./report-of.ts";
export { resultFiles } from "./result-files.ts";
