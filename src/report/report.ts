import { type Context, createContext } from "./context.ts";
import type { UnitChoice } from "./measures.ts";
import type { Fonts, ReportModel } from "./model.ts";
import { page, type Section } from "./page.ts";
import { cautionsSection, couldNotSection, filesSection } from "./sections/closing.ts";
import { comebackSection } from "./sections/comeback.ts";
import { correctionsSection } from "./sections/corrections.ts";
import { editsSection } from "./sections/edits.ts";
import { findingsSection, stopsSection } from "./sections/findings.ts";
import { pullsSection } from "./sections/pulls.ts";
import { givenSection, recordingsSection } from "./sections/recordings.ts";
import { suspectsSection } from "./sections/suspects.ts";
import { summary, titleBlock, vehicleName } from "./sections/title.ts";
import { ENGLISH, type Texts } from "./texts/index.ts";

/** How a report is written; everything has a default. */
export interface ReportOptions {
  /** Left out: tables in the units of their sheets, everything else metric. */
  readonly units?: UnitChoice;
  readonly texts?: Texts;
  readonly fonts?: Fonts;
  /** Left out: as the reader's system prefers; print is always on paper. */
  readonly theme?: "paper" | "bay";
}

export function contextFor(model: ReportModel, options: ReportOptions): Context {
  return createContext(model, options.texts ?? ENGLISH, options.units);
}

/** The whole report as one page that needs nothing but itself: no script, no network. */
export function renderReport(model: ReportModel, options: ReportOptions = {}): string {
  const context = contextFor(model, options);
  const sections: Section[] = [
    stopsSection(context),
    comebackSection(context),
    givenSection(context),
    editsSection(context),
    findingsSection(context),
    recordingsSection(context),
    suspectsSection(context),
    correctionsSection(context),
    pullsSection(context),
    couldNotSection(context),
    cautionsSection(context),
    filesSection(context),
  ];
  const kind = context.texts.title.report;
  return page({
    title: `${vehicleName(context)}: ${kind.toLowerCase()}`,
    footer: [vehicleName(context), kind, model.about?.date].filter((part) => part !== undefined).join(" · "),
    header: titleBlock(context, kind, summary(context)),
    sections,
    texts: context.texts,
    fonts: options.fonts ?? {},
    theme: options.theme,
  });
}
