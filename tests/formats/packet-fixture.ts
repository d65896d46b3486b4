import type { PacketFile } from "../../src/formats/index.ts";

const encoder = new TextEncoder();

export function file(path: string, text: string | Uint8Array): PacketFile {
  return { path, bytes: typeof text === "string" ? encoder.encode(text) : text };
}

export const INTAKE = '{\n  "vehicle": { "label": "small saloon" },\n  "engine": { "displacementL": 2.0, "cylinders": 4 }\n}\n';

export const VE_SHEET =
  "table,Volumetric efficiency\nrole,air.ve\nunit,%\nx,Engine speed,rpm\ny,Manifold absolute pressure,kPa\ndata,400,800,1200\n20,41.2,44,47.5\n30,43,46.1,50.2\n";
export const METER_SHEET = "table,Air meter\nrole,air.meter-curve\nunit,g/s\nx,Airflow meter frequency,Hz\ndata,1000,2000,3000\n,0.5,1.7,4.1\n";
export const AXLE_SHEET = "table,Axle ratio\nrole,driveline.axle-ratio\nunit,-\nvalue,3.73\n";

/** Forty rows of a plain recording, as lines: header, then data. */
export function recordingLines(): string[] {
  const lines = ["Time [s],RPM [rpm],MAP [kPa],MAF [g/s],ECT [degC]"];
  for (let i = 0; i < 40; i++) lines.push(`${(i * 0.1).toFixed(1)},${900 + 10 * i},${30 + i},${(4 + 0.2 * i).toFixed(1)},${80 + (i % 3)}`);
  return lines;
}

export const RECORDING = `${recordingLines().join("\n")}\n`;

/** A whole, sound packet; tests replace, add or take away single files. */
export function soundPacket(): Map<string, PacketFile> {
  const files = [
    file("intake.json", INTAKE),
    file("calibration/as-received/ve.csv", VE_SHEET),
    file("calibration/as-received/meter.csv", METER_SHEET),
    file("calibration/as-received/axle.csv", AXLE_SHEET),
    file("calibration/reference/ve.csv", VE_SHEET),
    file("recordings/road.csv", RECORDING),
  ];
  return new Map(files.map((each) => [each.path, each]));
}
