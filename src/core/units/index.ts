export {
  AFR_OF_LAMBDA_ONE,
  applyConversion,
  type Conversion,
  conversionOf,
  convert,
  isConvertible,
  knownUnits,
  parseUnit,
  type Quantity,
  type Unit,
} from "./conversions.ts";
export { guessSignals, type NameParts, partsOfName, type SignalGuess, splitNameAndUnit } from "./recognise.ts";
export { describeSignal, SIGNALS, type SignalDescription, type SignalId } from "./signals.ts";
