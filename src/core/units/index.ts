export { describeSignal, SIGNALS, type SignalDescription, type SignalId } from "./signals.ts";
