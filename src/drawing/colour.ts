/** Colours computed in OKLab, so that equal steps look equal and lightness alone carries the order. */

/** Lightness 0–1, and two opponent axes: a green to red, b blue to yellow. */
export interface OkLab {
  readonly lightness: number;
  readonly a: number;
  readonly b: number;
}

/** OKLab colour from lightness, chroma and hue in degrees. */
export function okLch(lightness: number, chroma: number, hueDeg: number): OkLab {
  const hue = (hueDeg * Math.PI) / 180;
  return { lightness, a: chroma * Math.cos(hue), b: chroma * Math.sin(hue) };
}

/**
 * Linear-light sRGB of an OKLab colour, each 0–1 when the colour can be shown.
 * @source ottosson-2020 (matrices from memory, white and grey are checked in the tests)
 */
function linearRgb({ lightness, a, b }: OkLab): [number, number, number] {
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

/** OKLab of a "#rrggbb" colour. */
export function okLabOf(hex: string): OkLab {
  const [red, green, blue] = rgbOf(hex).map(toLinear) as [number, number, number];
  const l = Math.cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue);
  const m = Math.cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue);
  const s = Math.cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue);
  return {
    lightness: 0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    a: 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    b: 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  };
}

/** "#rrggbb" of an OKLab colour; what the screen cannot show is clipped channel by channel. */
export function hexOf(colour: OkLab): string {
  const bytes = linearRgb(colour).map((linear) => Math.round(255 * toGamma(Math.min(1, Math.max(0, linear)))));
  return `#${bytes.map((byte) => byte.toString(16).padStart(2, "0")).join("")}`;
}

/** Whether sRGB holds the colour without clipping. */
export function isShowable(colour: OkLab): boolean {
  return linearRgb(colour).every((linear) => linear >= -0.0005 && linear <= 1.0005);
}

/** Straight line between two colours in OKLab. */
export function mix(from: OkLab, to: OkLab, share: number): OkLab {
  return {
    lightness: from.lightness + share * (to.lightness - from.lightness),
    a: from.a + share * (to.a - from.a),
    b: from.b + share * (to.b - from.b),
  };
}

/** Distance of two colours in OKLab; about 0.02 is just seen. */
export function distance(one: OkLab, other: OkLab): number {
  return Math.hypot(one.lightness - other.lightness, one.a - other.a, one.b - other.b);
}

/**
 * Contrast of two "#rrggbb" colours, 1–21.
 * @source wcag-2-2; definitions of relative luminance and contrast ratio
 */
export function contrastRatio(one: string, other: string): number {
  const lights = [luminance(one), luminance(other)].sort((a, b) => b - a) as [number, number];
  return (lights[0] + 0.05) / (lights[1] + 0.05);
}

function luminance(hex: string): number {
  const [red, green, blue] = rgbOf(hex).map(toLinear) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function rgbOf(hex: string): number[] {
  if (!/^#[0-9a-f]{6}$/i.test(hex)) throw new RangeError(`not a colour of the form #rrggbb: ${hex}`);
  return [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255);
}

function toLinear(gamma: number): number {
  return gamma <= 0.04045 ? gamma / 12.92 : ((gamma + 0.055) / 1.055) ** 2.4;
}

function toGamma(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}
