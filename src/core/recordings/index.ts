export { type Channel, channelValues, durationS, type OtherColumn, type Recording } from "./recording.ts";
