import type { Picture } from "../drawing/index.ts";
import { tag, text } from "./html.ts";
import { type Measures, measuresFor, type UnitChoice } from "./measures.ts";
import type { ReportModel } from "./model.ts";
import type { Texts } from "./texts/index.ts";

/** What every section is handed: the model, the words, the units, and the running number of figures. */
export interface Context {
  readonly model: ReportModel;
  readonly texts: Texts;
  readonly measures: Measures;
  /** Left undefined: tables in the units of their sheets, everything else metric. */
  readonly unitChoice: UnitChoice | undefined;
  /** Sets pictures side by side or alone; each gets the next number. Returns HTML. */
  figures(...pictures: readonly Picture[]): string;
  /** An id for a picture, unique in the page. */
  pictureId(): string;
  /** Which figure shows a table as it came in, once it has been drawn. */
  readonly figureOfTable: Map<string, number>;
  /** Number that the next figure will have. */
  nextFigure(): number;
}

export function createContext(model: ReportModel, texts: Texts, unitChoice: UnitChoice | undefined): Context {
  let figures = 0;
  let ids = 0;
  const one = (picture: Picture): string => {
    figures++;
    return `<figure id="figure-${figures}" class="figure figure-${picture.kind}">${picture.svg}<figcaption><span class="fig">${text(texts.figure(figures))}</span> ${text(picture.caption)}</figcaption></figure>`;
  };
  return {
    model,
    texts,
    measures: measuresFor(unitChoice),
    unitChoice,
    figureOfTable: new Map(),
    pictureId: () => `pic-${++ids}`,
    nextFigure: () => figures + 1,
    figures: (...pictures) => {
      if (pictures.length === 0) return "";
      const drawn = pictures.map(one);
      return drawn.length === 1 ? drawn[0]! : tag('div class="pair"', ...drawn);
    },
  };
}
