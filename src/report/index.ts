export { drawPulls } from "./draw-pulls.ts";
export { alongSpeed, coverageOf, type ObservedArrays, residualStories } from "./from-observations.ts";
export type { UnitChoice } from "./measures.ts";
export type {
  About,
  AlignmentDetail,
  ChangeRecord,
  ChecklistItem,
  ComebackDetail,
  CorrectionDetail,
  CoverageDetail,
  FileRecord,
  Fonts,
  Handover,
  LeftDetail,
  NextTest,
  ReportModel,
  StoryDetail,
  SweepDetail,
  SweepGain,
  SweepSeries,
  Trace,
  TraceColumn,
} from "./model.ts";
export { renderOwnerReport } from "./owner.ts";
export { alignmentPictures } from "./pictures/alignment.ts";
export { type ReportOptions, renderReport } from "./report.ts";
export { ENGLISH, type Texts } from "./texts/index.ts";
export { storyOf, traceOf } from "./trace.ts";
export { renderWorkshopSheet } from "./workshop.ts";
