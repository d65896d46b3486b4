/** Relative air-fuel ratio λ from a mass ratio. @source definition; PH-11a */
export function lambdaOfAfr(airFuelRatio: number, afrStoich: number): number {
  return airFuelRatio / afrStoich;
}

/** Mass ratio from λ; a display shows λ times the number set in it, whatever the fuel. @source definition; PH-11c */
export function afrOfLambda(lambda: number, afrStoich: number): number {
  return lambda * afrStoich;
}

/** Equivalence ratio φ from λ, and λ from φ: each is the other's inverse. @source definition; PH-11b */
export function equivalenceRatio(lambda: number): number {
  return 1 / lambda;
}

/** λ in open loop where λ 1 is asked for and the table's stoichiometric ratio is not the fuel's. @source formula-sheet; PH-11d */
export function openLoopLambda(tableAfrStoich: number, fuelAfrStoich: number): number {
  return tableAfrStoich / fuelAfrStoich;
}

/** Trim at which closed loop settles for the same mistake [fraction]. @source formula-sheet; PH-11e */
export function settledTrimFraction(tableAfrStoich: number, fuelAfrStoich: number): number {
  return openLoopLambda(tableAfrStoich, fuelAfrStoich) - 1;
}
