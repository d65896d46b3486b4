export { intakeSchema, readIntake } from "./intake.ts";
export { type PacketContext, type PacketFile, type PacketFiles, type PacketRead, readPacket, readPacketWithSheets } from "./packet.ts";
export { type RecordingContext, type RecordingRead, readRecording } from "./recording/recording.ts";
export { confidenceSheet } from "./sheet/confidence-sheet.ts";
export { readTableSheet, type TableSheet, withRole } from "./sheet/table-sheet.ts";
export { writeTableSheet } from "./sheet/write-table-sheet.ts";
