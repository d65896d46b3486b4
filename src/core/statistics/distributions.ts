/** Probability that a standard normal value lies at or below z. Accurate to about 1e-15. */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const half = 0.5 * regularisedGammaP(0.5, 0.5 * z * z);
  return z >= 0 ? 0.5 + half : z > -6 ? 0.5 - half : 0.5 * regularisedGammaQ(0.5, 0.5 * z * z);
}

/** Value that a standard normal stays at or below with the given probability. Rational start and two Halley steps. */
export function normalQuantile(probability: number): number {
  if (!(probability > 0 && probability < 1)) return probability === 0 ? Number.NEGATIVE_INFINITY : probability === 1 ? Number.POSITIVE_INFINITY : Number.NaN;
  const tail = probability < 0.5 ? probability : 1 - probability;
  const t = Math.sqrt(-2 * Math.log(tail));
  // Abramowitz and Stegun 26.2.23 (from memory), error below 4.5e-4; only a start.
  let z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  for (let pass = 0; pass < 3; pass++) {
    const error = normalCdf(-z) - tail;
    const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
    const step = -error / density;
    z -= step / (1 + 0.5 * z * step);
  }
  return probability < 0.5 ? -z : z;
}

/** Probability that Student's t with so many degrees of freedom lies at or below t. */
export function studentTCdf(t: number, degrees: number): number {
  const tail = 0.5 * regularisedBeta(degrees / (degrees + t * t), degrees / 2, 0.5);
  return t >= 0 ? 1 - tail : tail;
}

/** Value that Student's t stays at or below with the given probability. */
export function studentTQuantile(probability: number, degrees: number): number {
  if (!(probability > 0 && probability < 1)) return normalQuantile(probability);
  if (probability === 0.5) return 0;
  let high = 2;
  const wanted = probability < 0.5 ? 1 - probability : probability;
  while (studentTCdf(high, degrees) < wanted) high *= 2;
  let low = 0;
  for (let pass = 0; pass < 100 && high - low > 1e-13 * high; pass++) {
    const middle = 0.5 * (low + high);
    if (studentTCdf(middle, degrees) < wanted) low = middle;
    else high = middle;
  }
  return (probability < 0.5 ? -0.5 : 0.5) * (low + high);
}

/** Probability that chi-square with so many degrees of freedom lies at or below x. */
export function chiSquareCdf(x: number, degrees: number): number {
  return x <= 0 ? 0 : regularisedGammaP(degrees / 2, x / 2);
}

/** ln Γ(x) for x > 0. @source lanczos-1964 (from memory): g = 7, nine terms, relative error below 1e-14 */
export function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const terms = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905, -0.13857109526572012,
    9.9843695780195716e-6, 1.5056327351493116e-7,
  ];
  let sum = terms[0]!;
  for (let i = 1; i < 9; i++) sum += terms[i]! / (x - 1 + i);
  const t = x + 6.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Lower regularised incomplete gamma function P(a, x), by series or continued fraction. */
export function regularisedGammaP(a: number, x: number): number {
  if (x <= 0) return 0;
  if (x >= a + 1) return 1 - regularisedGammaQ(a, x);
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 1000 && term > sum * 1e-17; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum * Math.exp(-x + a * Math.log(x) - logGamma(a));
}

/** Upper regularised incomplete gamma function Q(a, x) = 1 − P(a, x), accurate in the far tail. */
export function regularisedGammaQ(a: number, x: number): number {
  if (x < a + 1) return 1 - regularisedGammaP(a, x);
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 1000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / nonZero(an * d + b, tiny);
    c = nonZero(b + an / c, tiny);
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return h * Math.exp(-x + a * Math.log(x) - logGamma(a));
}

/** Regularised incomplete beta function I_x(a, b), by continued fraction. @source numerical-recipes (from memory) */
export function regularisedBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - regularisedBeta(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  const tiny = 1e-300;
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1), tiny);
  let h = d;
  for (let m = 1; m < 1000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d, tiny);
    c = nonZero(1 + even / c, tiny);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d, tiny);
    c = nonZero(1 + odd / c, tiny);
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return (front * h) / a;
}

function nonZero(value: number, tiny: number): number {
  return Math.abs(value) < tiny ? tiny : value;
}
