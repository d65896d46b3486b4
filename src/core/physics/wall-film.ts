/** Share X of injected fuel that hits the wall and time constant of the film. */
export interface WallFilm {
  readonly shareFraction: number;
  readonly timeS: number;
}

/**
 * Film of one small engine with central injection, as a regression on manifold pressure and speed. Use as a shape only:
 * port injection has its own figures. The share is cut at 0–0.9, the time at 0.05–1.5 s, as the open code does.
 *
 * @source hendricks-sorenson-1990 (from memory), open-mvem; PH-08ax to PH-08ct
 */
export function centralInjectionFilm(mapKpa: number, rpm: number): WallFilm {
  const bar = mapKpa / 100;
  const thousands = rpm / 1000;
  const share = -0.277 * bar - 0.055 * thousands + 0.68;
  const timeS = 1.35 * (-0.672 * thousands + 1.68) * (bar - 0.825) ** 2 + (-0.06 * thousands + 0.15) + 0.56;
  return { shareFraction: Math.min(Math.max(share, 0), 0.9), timeS: Math.min(Math.max(timeS, 0.05), 1.5) };
}

/**
 * Lambda after air and injected fuel both step from 1 to `stepRatio` at λ = 1, film in balance before.
 *
 *   λ = k / (k − X (k − 1) exp(−t/τ))
 *
 * @source aquino-1981 (from memory); PH-08d (t = 0), PH-08e
 */
export function lambdaAfterStep(stepRatio: number, film: WallFilm, sinceStepS = 0): number {
  return stepRatio / (stepRatio - film.shareFraction * (stepRatio - 1) * Math.exp(-sinceStepS / film.timeS));
}

/** Injected fuel over the fuel before the step that keeps λ = 1 at the first instant. @source aquino-1981 (from memory); PH-08f */
export function compensatedFuelRatio(stepRatio: number, film: Pick<WallFilm, "shareFraction">): number {
  return (stepRatio - film.shareFraction) / (1 - film.shareFraction);
}

/** Fuel that reaches the cylinder [g/s] and the rate of the film [g/s] for an injected flow: Aquino's two equations. @source aquino-1981 (from memory) */
export function filmFlows(injectedGps: number, filmG: number, film: WallFilm): { readonly cylinderGps: number; readonly filmRateGps: number } {
  const leavingGps = filmG / film.timeS;
  return { cylinderGps: (1 - film.shareFraction) * injectedGps + leavingGps, filmRateGps: film.shareFraction * injectedGps - leavingGps };
}

/** Injected flow that gives the cylinder what it wants [g/s]: the exact inverse. @source aquino-1981 (from memory) */
export function injectedForCylinderGps(wantedGps: number, filmG: number, film: WallFilm): number {
  return (wantedGps - filmG / film.timeS) / (1 - film.shareFraction);
}
