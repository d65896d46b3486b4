export { type Channel, channelValues, durationS, type OtherColumn, type Recording } from "./recording.ts";
export { type Clock, onClock, uniformClock } from "./resample.ts";
